"""Suggestions for misspelt names: the known name that is closest to the one given."""


def distance(a: str, b: str) -> int:
    """How many letters to put in, take out, change or swap with a neighbour make `a` into `b`.

    The optimal string alignment distance.
    """
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i in range(1, len(a) + 1):
        older, before, row = before, row, [i]
        for j in range(1, len(b) + 1):
            cost = 0 if a[i - 1] == b[j - 1] else 1
            best = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + cost)
            if i > 1 and j > 1 and a[i - 1] == b[j - 2] and a[i - 2] == b[j - 1]:
                best = min(best, older[j - 2] + 1)
            row.append(best)
    return row[len(b)]


def nearest(name: str, known: "list[str]") -> str:
    """The known name closest to `name`, "" when none comes within a third of its length."""
    best = ""
    least = 1 + max(1, len(name) // 3)
    for other in known:
        if other == name or abs(len(other) - len(name)) >= least:
            continue
        d = distance(name, other)
        if d < least:
            best = other
            least = d
    return best


def did_you_mean(name: str, known: "list[str]") -> str:
    """The tail of an error sentence: "; did you mean 'x'?", or nothing."""
    other = nearest(name, known)
    return f"; did you mean '{other}'?" if other else ""
