package register

import (
	"fmt"
	"strings"
	"testing"
)

// listed is a register as text: a line for each entry, with where it leads.
func listed(letters []Letter) string {
	var b strings.Builder
	for _, l := range letters {
		fmt.Fprintf(&b, "[%s]\n", l.Letter)
		for _, e := range l.Entries {
			b.WriteString(e.Words)
			if e.At != "" {
				b.WriteString(" -> " + e.At)
			}
			if e.See != nil {
				b.WriteString(": see " + e.See.Words)
			}
			for _, s := range e.Stands {
				fmt.Fprintf(&b, ", %s (%s)", s.Words, s.At)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func TestAlphabet(t *testing.T) {
	version := func(n int, more ...Place) Sheet {
		return Sheet{Path: fmt.Sprintf("cart/%d/index.html", n), Kind: "Version", Title: fmt.Sprintf("Pack %d", n), Short: fmt.Sprintf("cart %d", n), Family: "cart/version", Order: n,
			Places: append([]Place{{Texts: []string{"It has batteries."}}, {Anchor: "cut", Heading: "Cut list"}, {Anchor: "w", Heading: "W12"}, {Anchor: "t", Heading: "Table 2"}}, more...)}
	}
	question := func(name string) Sheet {
		return Sheet{Path: name + "/index.html", Kind: "Question", Title: "How " + name + "?", Places: []Place{{Anchor: "asked", Heading: "Also asked as"}, {Anchor: "c", Heading: "Compared with " + name}}}
	}
	got := listed(Alphabet([]Sheet{
		{Path: "cart/index.html", Title: "The cart", Kind: "Vehicle"},
		version(1, Place{Anchor: "old", Heading: "éclair motor"}), version(2), version(3, Place{Anchor: "c", Heading: "47 min", Under: "What the text rests on"}),
		question("far"), question("fast"),
		{Path: "method/index.html", Title: "Method", Kind: "Method", Places: []Place{{Anchor: "f", Heading: "A pack that is not fused"}, {Anchor: "e", Heading: "Energy of packs"}, {Anchor: "2", Heading: "2 mm² leads"}}},
		{Path: "words/index.html", Title: "Words", Kind: "Words"},
	}, []Word{{Word: "pack", Also: []string{"battery", "batteries"}, Anchor: "w-pack"}, {Word: "zinc", Anchor: "w-zinc"}}, "words/index.html", "en"))
	want := `[0–9]
2 mm² leads, Method (method/index.html#2)
[B]
batteries: see pack
battery: see pack
[C]
cart, The -> cart/index.html
Compared with far, How far? (far/index.html#c)
Compared with fast, How fast? (fast/index.html#c)
Cut list, cart 3 (cart/3/index.html#cut)
[E]
éclair motor, cart 1 (cart/1/index.html#old)
Energy of packs, Method (method/index.html#e)
[H]
How far? -> far/index.html
How fast? -> fast/index.html
[M]
Method -> method/index.html
[P]
pack, meaning (words/index.html#w-pack), cart 3 (cart/3/index.html), Method (method/index.html#f)
Pack 1 -> cart/1/index.html
Pack 2 -> cart/2/index.html
Pack 3 -> cart/3/index.html
A pack that is not fused, Method (method/index.html#f)
[W]
Words -> words/index.html
[Z]
zinc, meaning (words/index.html#w-zinc)
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A line names no more places than can be read, and the newest of a family.
func TestAlphabetStaysShort(t *testing.T) {
	var sheets []Sheet
	for i := range 40 {
		sheets = append(sheets, Sheet{Path: fmt.Sprintf("n/%d/index.html", i), Title: fmt.Sprintf("N %d", i), Kind: fmt.Sprint(i), Places: []Place{{Anchor: "a", Heading: "Brake test"}}})
	}
	for _, l := range Alphabet(sheets, nil, "words/index.html", "en") {
		for _, e := range l.Entries {
			if len(e.Stands) > most {
				t.Errorf("%q stands at %d places", e.Words, len(e.Stands))
			}
		}
	}
}
