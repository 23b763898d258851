package evidence

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/value"
)

// manyStatements is a journal of one vehicle with some versions, each with a list of parts, and notes with ten statements
// each that are true of them.
func manyStatements(versions, parts, statements int) map[string]string {
	files := map[string]string{
		"journal.yaml":    "title: Bench\ncurrency: EUR\nmaker: {name: A maker}\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: Cart\n---\n",
	}
	for i := range versions {
		var b strings.Builder
		fmt.Fprintf(&b, "---\nkind: version\nname: State %d\ndate: 2026-01-%02d\n", i+1, i%28+1)
		if i > 0 {
			fmt.Fprintf(&b, "follows: %d-state\n", i)
		}
		b.WriteString("packs:\n  - {name: main, chemistry: nmc, series: 7, parallel: 3, capacity: 9.6 Ah}\ncutout: {opens: 23.1 V, reset-threshold: 1.6 V}\nparts:\n")
		for p := range parts {
			fmt.Fprintf(&b, "  - {name: part number %d, price: \"%d.50\", mass: %d g}\n", p+1, p+1, p+10)
		}
		b.WriteString("---\n\nText.\n")
		files[fmt.Sprintf("cart/%d-state/version.md", i+1)] = b.String()
	}
	const each = 10
	for n := range (statements + each - 1) / each {
		var b strings.Builder
		fmt.Fprintf(&b, "---\nkind: note\ntitle: Note %d\ndate: 2026-02-01\n---\n\n", n)
		for s := range min(each, statements-n*each) {
			k := n*each + s
			at := fmt.Sprintf("cart/%d-state", k%versions+1)
			switch part := k%parts + 1; s % 4 {
			case 0:
				fmt.Fprintf(&b, "It cost [%d.50 EUR](value:%s/parts.part-number-%d.price).\n", part, at, part)
			case 1:
				fmt.Fprintf(&b, "It opens at [23.1 V](value:%s/cutout.opens).\n", at)
			case 2:
				fmt.Fprintf(&b, "It holds [9.6 Ah](value:%s/pack-capacity).\n", at)
			default:
				fmt.Fprintf(&b, "It weighs [%d g](value:%s/parts.%d.mass).\n", part+9, at, part)
			}
		}
		files[fmt.Sprintf("notes/2026-02-01-note-%d.md", n)] = b.String()
	}
	return files
}

// BenchmarkJudge states how many statements are judged in a second, once everything is computed: with more statements and
// with longer lists of parts a statement must not take longer.
func BenchmarkJudge(b *testing.B) {
	for _, size := range []struct{ versions, parts, statements int }{{10, 20, 100}, {10, 20, 1000}, {10, 20, 10000}, {10, 200, 1000}, {100, 20, 1000}} {
		b.Run(fmt.Sprintf("%d_versions/%d_parts/%d_statements", size.versions, size.parts, size.statements), func(b *testing.B) {
			folder, err := notes.Open(laidOut(b, manyStatements(size.versions, size.parts, size.statements)))
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(func() { _ = folder.Close() })
			var found finding.List
			j := journal.Load(folder, &found)
			if n := found.Count(finding.Error); n > 0 {
				b.Fatal(found.Sorted()[0])
			}
			b.ResetTimer()
			for range b.N {
				var judged finding.List
				Judge(value.New(j, nil), &judged)
				if all := judged.Sorted(); len(all) > 0 {
					b.Fatal(all[0])
				}
			}
			b.ReportMetric(float64(size.statements*b.N)/b.Elapsed().Seconds(), "statements/s")
		})
	}
}
