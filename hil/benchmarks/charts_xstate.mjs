// Times scenarios in xstate: node charts_xstate.mjs PACKAGE_FOLDER SCENARIOS.json ROUNDS
// Prints one JSON line a scenario: counts after `sends` sends, and nanoseconds a send, by round.

import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [packageFolder, scenarios, rounds] = process.argv.slice(2);
const entry = path.join(packageFolder, "dist", "xstate.esm.js");
const { createActor, createMachine } = await import(pathToFileURL(entry));
const ROUND_NS = 2e7;
const WARM = 10000;

function made(scenario) {
    const counts = { act: 0, leave: 0, enter: 0 };
    const actions = {
        act: () => { counts.act += 1; },
        leave: () => { counts.leave += 1; },
        enter: () => { counts.enter += 1; },
    };
    const machine = createMachine(scenario.machine, { actions, guards: { is_open: () => true } });
    const actor = createActor(machine);
    actor.start();
    return { actor, counts, event: { type: scenario.event } };
}

// Whichever clock is kinder: the wall's on a quiet machine, the processor's on a busy one.
function timed(run, times) {
    const wall = process.hrtime.bigint();
    const used = process.cpuUsage();
    for (let i = 0; i < times; i += 1) run.actor.send(run.event);
    const more = process.cpuUsage(used);
    return Math.min(Number(process.hrtime.bigint() - wall), (more.user + more.system) * 1000) / times;
}

// All are run warm before any is timed: what is compiled late would be counted in somebody's round.
const runs = [];
for (const scenario of JSON.parse(fs.readFileSync(scenarios, "utf8"))) {
    const checked = made(scenario);
    for (let i = 0; i < scenario.sends; i += 1) checked.actor.send(checked.event);
    const { act, leave, enter } = checked.counts;
    const run = made(scenario);
    timed(run, WARM);
    runs.push({ name: scenario.name, counts: [act, leave, enter], run });
}
for (const { name, counts, run } of runs) {
    timed(run, WARM);
    const times = Math.max(10, Math.round(ROUND_NS / timed(run, 1000)));
    const ns = [];
    for (let round = 0; round < Number(rounds); round += 1) ns.push(timed(run, times));
    console.log(JSON.stringify({ name, counts, ns }));
}
