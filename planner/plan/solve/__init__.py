"""The only home of ortools and highspy: a week's problem goes in, the turns of a plan come out."""
