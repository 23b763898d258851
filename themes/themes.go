// Package themes embeds what the pages are made with: the themes `workshop` and `bench-card` (templates, style sheets, scripts,
// lettering), the chart engine, and what a trial print adds to a page. A journal replaces any of these files, but for
// those of a trial print, by one of the same path in its own folder `themes/`, such as themes/workshop/run.html.
package themes

import "embed"

// FS holds the files, by paths such as "workshop/run.html" and "engine/charts-engine.js".
//
//go:embed workshop bench-card trial engine/charts-engine.js engine/LICENSE engine/NOTICE
var FS embed.FS

// Trial is the folder of what a trial print adds to a page. A journal does not replace it.
const Trial = "trial"
