"""What is kept through power loss: settings, counts, kept values."""
