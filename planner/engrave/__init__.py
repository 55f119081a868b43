"""Notes to music on paper: bars as they are printed, MEI, SVG, and sheets as PDF or HTML."""
