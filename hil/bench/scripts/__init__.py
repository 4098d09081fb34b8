"""The switch-script language: its lines are parsed into steps and conditions."""
