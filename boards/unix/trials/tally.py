"""Results of trials: how many ran and failed, the first failures in words, other counts by name."""

SHOWN = 5


class Tally:
    """Trials, failures, the first of them in words, and counts by name."""

    def __init__(self) -> None:
        self.ran = 0
        self.failures = 0
        self.wrong: list[str] = []
        self.counts: dict[str, int | float] = {}

    def failed(self, words: str) -> None:
        """Count a failed trial; the first SHOWN are kept in words."""
        self.failures += 1
        if len(self.wrong) < SHOWN:
            self.wrong.append(words)

    def count(self, name: str, n: int = 1) -> None:
        """Add `n` to the count called `name`."""
        self.counts[name] = self.counts.get(name, 0) + n

    def most(self, name: str, n: int) -> None:
        """Keep the greatest `n` seen under `name`."""
        self.counts[name] = max(self.counts.get(name, 0), n)

    def tell(self) -> None:
        """One line: trials, failures, name=count pairs; then a line for each of the first failures."""
        pairs = [name.replace(" ", "_") + "=" + str(self.counts[name]) for name in sorted(self.counts)]
        print(self.ran, self.failures, *pairs)
        for words in self.wrong:
            print(words)
