"""Tables of the games' rule sheets and other pages, read as the words they are; not a test itself."""

HERE = __file__.rpartition("/")[0] or "."


def table(game, first):
    """The rows of a table of a game's sheet."""
    return table_of("firmware/games/" + game + "/rules.md", first)


def table_of(page, first):
    """The rows of the table whose first column is headed `first`, each a list of cells without quotes."""
    rows = []
    inside = False
    with open(HERE + "/../../" + page) as sheet:
        for line in sheet:
            cells = [cell.strip().strip("`") for cell in line.strip().strip("|").split("|")]
            if not line.startswith("|"):
                inside = False
            elif inside and not cells[0].startswith("---"):
                rows.append(cells)
            elif cells[0] == first:
                inside = True
    return rows


def words(game):
    """The whole sheet, its words apart by one blank each, without stars."""
    with open(HERE + "/../../firmware/games/" + game + "/rules.md") as sheet:
        return " ".join(sheet.read().replace("**", "").split())


def commas(n):
    """A number as sheets write it: 1,000,000."""
    text = str(n % 1000)
    while n >= 1000:
        n //= 1000
        text = str(n % 1000) + "," + "0" * (3 - len(text.split(",")[0])) + text
    return text
