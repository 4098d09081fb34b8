"""Speed, memory and reliability, measured: each with the count, the seed and the Python it ran on."""
