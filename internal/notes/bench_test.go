package notes

import (
	"strings"
	"testing"
	"time"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/text"

	"voltwright/internal/finding"
)

// BenchmarkNote reads a note of about 4 KB, and says how many times as long
// that takes as the Markdown reader alone takes for its body.
func BenchmarkNote(b *testing.B) {
	paragraph := "It ran [47 min](value:field-2/running-time) with *two* wagons, and stopped by itself at the points.\n\n| load | time |\n|---|---|\n| one | [](value:a/running-time) |\n\n## Heading\n\n- a\n- [b](c.md)\n\n"
	body := strings.Repeat(paragraph, 20)
	note := []byte("---\nkind: version\nname: Second pack\ndate: 2026-05-03\npacks:\n  - {chemistry: lfp, series: 7, capacity: 14 Ah}\n  - {chemistry: lfp, series: 7, capacity: 9.6 Ah}\n---\n" + body)
	floor := time.Duration(1 << 62)
	md := goldmark.New(goldmark.WithExtensions(Extensions()...))
	for range 20 {
		start := time.Now()
		md.Parser().Parse(text.NewReader([]byte(body)))
		floor = min(floor, time.Since(start))
	}
	b.SetBytes(int64(len(note)))
	b.ReportAllocs()
	for b.Loop() {
		var list finding.List
		if d := Parse(ParseNote("a/b/x.md", note, &list)); len(d.Embeds) != 40 || list.Len() != 0 {
			b.Fatal("the note was not read whole")
		}
	}
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(floor), "×floor")
}
