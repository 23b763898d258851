package diagram

import "strings"

// Style is what a drawing needs of a style sheet. themes/workshop/drawing.css
// holds the same text, and a test holds both together; a drawing that stands
// alone carries it.
const Style = `.drawing { --d-ink: var(--ink, #15212b); --d-paper: var(--paper, #fcfcf9); --d-soft: var(--ink-soft, #4a5660); --d-hair: var(--hair, #bcc3c5); color: var(--d-ink);
  --d-black: #15171a; --d-brown: #8a5230; --d-red: #d22f27; --d-orange: #f08019; --d-yellow: #f3c91b; --d-green: #2f8f46; --d-blue: #2f6fd0; --d-violet: #8146b0; --d-grey: #8d949b; --d-white: #ffffff; --d-pink: #f08fb6; --d-turquoise: #2bb3b1; }
@media (prefers-color-scheme: dark) {
  .drawing { --d-ink: var(--ink, #eceee8); --d-paper: var(--paper, #1d2527); --d-soft: var(--ink-soft, #b3bcba); --d-hair: var(--hair, #4b575a); }
}
.drawing { font-family: "Sheet", "Atkinson Hyperlegible Next", Verdana, sans-serif; }
.drawing text { fill: var(--d-ink); stroke: none; }
.drawing .d-b { font-weight: 700; }
.drawing .d-ground { fill: var(--d-paper); }
.drawing .d-casing { stroke: var(--d-ink); }
.drawing .d-black { stroke: var(--d-black); }
.drawing .d-brown { stroke: var(--d-brown); }
.drawing .d-red { stroke: var(--d-red); }
.drawing .d-orange { stroke: var(--d-orange); }
.drawing .d-yellow { stroke: var(--d-yellow); }
.drawing .d-green { stroke: var(--d-green); }
.drawing .d-blue { stroke: var(--d-blue); }
.drawing .d-violet { stroke: var(--d-violet); }
.drawing .d-grey { stroke: var(--d-grey); }
.drawing .d-white { stroke: var(--d-white); }
.drawing .d-pink { stroke: var(--d-pink); }
.drawing .d-turquoise { stroke: var(--d-turquoise); }
.drawing .d-gap { stroke: var(--d-paper); }
.drawing .d-plain { stroke: var(--d-ink); }
.drawing .d-body, .drawing .d-ring { fill: var(--d-paper); }
.drawing .d-ring { stroke-width: 1.4px; }
.drawing .d-bold { stroke-width: 2.6px; }
.drawing .d-blade { stroke-width: 2.4px; }
.drawing .d-bar { stroke-width: 4px; }
.drawing .d-bus { stroke-width: 5px; }
.drawing .d-plug { stroke-width: 6px; }
.drawing .d-link, .drawing .d-dash, .drawing .d-dots { stroke-dasharray: 3 3; stroke-width: 1.1px; }
.drawing .d-dash { stroke-dasharray: 4 2.5; stroke-width: 1.5px; }
.drawing .d-fill, .drawing .d-dot, .drawing .d-bolt { fill: var(--d-ink); }
.drawing .d-mushroom { fill: var(--d-ink); }
.drawing .d-hair { stroke: var(--d-hair); stroke-width: 1px; }
.drawing .d-frame { stroke-width: 2px; }
.drawing .d-ring.d-hot { fill: var(--d-ink); }
.drawing.d-mono .d-white { stroke: var(--d-paper); }
.drawing .d-cold path { opacity: .3; }
.drawing .d-cold .d-core { stroke-width: 1.6px; }
.drawing .d-cold .d-casing { stroke-width: 3.2px; }
.drawing .d-hot .d-casing { stroke-width: 7.6px; }
.drawing .d-hot .d-core { stroke-width: 4.4px; }
@media (forced-colors: active) {
  .drawing { --d-ink: CanvasText; --d-paper: Canvas; --d-soft: CanvasText; --d-hair: CanvasText; }
}
.drawing .d-fed .d-casing { stroke-width: 3.6px; }
.drawing .d-fed .d-core { stroke-width: 2px; }
.drawing .d-revision { fill: var(--d-paper); stroke: var(--d-ink); }
@media print {
  .drawing { --d-ink: #000; --d-paper: #fff; --d-soft: #333; --d-hair: #999; }
}
`

// paperStyle is the style for paper: black on white whatever the screen prefers.
func paperStyle(style string) string {
	var out strings.Builder
	out.WriteString(style)
	out.WriteString("@media all { .drawing { --d-ink: #000; --d-paper: #fff; --d-soft: #333; --d-hair: #999; } }\n@page { margin: 0; }\n")
	return out.String()
}
