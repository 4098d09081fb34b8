// Loads a folder into a 32-bit MicroPython and runs the lines of a plan, one after another:
//     node run.mjs PACKAGE_FOLDER FILES_FOLDER PLAN
// Each paragraph of the plan is run on its own, since this build collects garbage only between runs.

import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [packageFolder, filesFolder, planFile] = process.argv.slice(2);
const { loadMicroPython } = await import(pathToFileURL(path.join(packageFolder, "micropython.mjs")));
const micropython = await loadMicroPython({
    heapsize: 4 * 1024 * 1024,
    stdout: (line) => console.log(line),
    stderr: (line) => console.error(line),
});

function copy(from, to) {
    micropython.FS.mkdirTree(to);
    for (const entry of fs.readdirSync(from, { withFileTypes: true })) {
        const source = path.join(from, entry.name);
        const target = `${to}/${entry.name}`;
        if (entry.isDirectory()) copy(source, target);
        else micropython.FS.writeFile(target, fs.readFileSync(source));
    }
}

copy(filesFolder, "/board");
for (const paragraph of fs.readFileSync(planFile, "utf8").split("\n\n")) {
    try {
        micropython.runPython(paragraph);
    } catch (error) {
        console.error(String(error.message ?? error));
        process.exit(1);
    }
}
