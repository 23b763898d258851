package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// rideNorth is a log of a ride in the open sea, metres north of a latitude.
func rideNorth(lat float64, metres int) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A),latitude,longitude,heading\n")
	for m, k := 0, 0; m <= metres; m, k = m+20, k+1 {
		fmt.Fprintf(&b, "%d,26.%02d,5.%d,%.7f,-40.2500000,1\n", 10*k, 90-k%50, k%3, lat+float64(m)/111194.93)
	}
	return b.String()
}

func sea(extra map[string]string) map[string]string {
	run := func(day int, log, more string) string {
		return fmt.Sprintf("---\nkind: run\ntype: field\nname: Ride %d\ndate: 2026-03-%02d\nlog: {file: %s}\n%s---\n", day, day, log, more)
	}
	files := map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
		"cart/1-first/a.md":       run(1, "a.csv", "publish-position: yes\n"),
		"cart/1-first/b.md":       run(2, "b.csv", "publish-position: yes\n"),
		"cart/1-first/c.md":       run(3, "c.csv", ""),
		"cart/1-first/d.md":       run(4, "d.csv", "publish-position: yes\n"),
		"cart/1-first/a.csv":      rideNorth(31.5, 3000),
		"cart/1-first/b.csv":      rideNorth(31.50004, 2400), // from the same shed
		"cart/1-first/c.csv":      rideNorth(31.5, 3000),
		"cart/1-first/d.csv":      rideNorth(31.5001, 160), // about the shed
	}
	for name, text := range extra {
		files[name] = text
	}
	return files
}

// shownLatitudes are those that a published log has.
func shownLatitudes(t *testing.T, p *frame.Pages, name string) (out []float64) {
	t.Helper()
	text, err := p.Bytes(name)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		if cell := strings.Split(line, ",")[3]; cell != "" {
			lat, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, lat)
		}
	}
	return out
}

// Positions are published of the runs that say so, and nothing near where any of these began or ended; runs from one place leave
// out the same circle there, so that a second one tells nothing more of it.
func TestPositionsArePublishedOnlyWhereAsked(t *testing.T) {
	in := input(t, written(t, sea(nil)))
	p, found := build(t, in)
	if len(found) > 0 {
		t.Fatalf("%+v", found)
	}
	a, b := shownLatitudes(t, p, "cart/1-first/a/a.csv"), shownLatitudes(t, p, "cart/1-first/b/b.csv")
	if len(a) < 20 || len(b) < 20 {
		t.Fatalf("%d and %d positions are published", len(a), len(b))
	}
	metres := func(lat float64) float64 { return (lat - 31.5) * 111194.93 }
	for _, lat := range append(slices.Clone(a), b...) {
		if m := metres(lat); m < 200 || m > 2800 || m > 2205 && m < 2600 { // b ends at 2404 m
			t.Errorf("a position %.0f m from the shed is published", m)
		}
	}
	if d := metres(a[0]) - metres(b[0]); d < -20 || d > 20 {
		t.Errorf("two runs from one shed leave out other circles: they begin %.0f m apart", d)
	}
	for _, name := range []string{"cart/1-first/c/c.csv", "cart/1-first/d/d.csv"} {
		if n := len(shownLatitudes(t, p, name)); n != 0 {
			t.Errorf("%s: %d positions are published", name, n)
		}
	}
	page, err := p.Bytes(address.Published)
	if err != nil || !strings.Contains(string(page), "Ride") && !strings.Contains(string(page), "Field run, 1 March 2026") || strings.Contains(string(page), "3 March 2026") {
		t.Errorf("the page does not say whose positions are published: %v\n%s", err, page)
	}
}

// The file that says whom to tell of a hole has the lines of RFC 9116, 2.5, and stands only at a host's root.
func TestWhomToTellOfAHole(t *testing.T) {
	for address, want := range map[string]string{
		"https://example.org/":      "Contact: mailto:shed@example.org\nExpires: 2026-12-01T00:00:00Z\nCanonical: https://example.org/.well-known/security.txt\nPreferred-Languages: en-GB\n",
		"https://example.org/club/": "",
		"http://example.org/":       "",
	} {
		in := input(t, written(t, sea(map[string]string{"journal.yaml": "title: A book\nlanguage: en-GB\naddress: " + address + "\nmaker: {name: A maker}\nsecurity: {contact: \"mailto:shed@example.org\", expires: 2026-12-01}\n"})))
		p, found := build(t, in)
		got := ""
		if p.Has(securityFile) {
			text, err := p.Bytes(securityFile)
			if err != nil {
				t.Fatal(err)
			}
			got = string(text)
		}
		if got != want {
			t.Errorf("%s: %q, want %q", address, got, want)
		}
		if said := len(found) == 1 && found[0].Rule == RuleSecurityPlace; said != (want == "") {
			t.Errorf("%s: %+v", address, found)
		}
	}
}

// A drawing of the journal's own theme that holds the place of a file on somebody's machine is not published.
func TestThemeDrawingsTellNothing(t *testing.T) {
	drawing := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"><desc>%s</desc><path d="M0 0h8v8z"/></svg>`
	for text, own := range map[string]bool{"a wheel": true, "/home/janedoe/wheel.svg": false} {
		in := input(t, written(t, sea(nil)))
		in.Themes = over(t, map[string]string{"workshop/icon.svg": fmt.Sprintf(drawing, text)})
		p, found := build(t, in)
		icon, err := p.Bytes(frame.AssetFolder + "/icon.svg")
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(icon), text) != own || (len(found) == 0) != own {
			t.Errorf("%s: own %v, %+v", text, own, found)
		}
	}
}

// The list says of each file of the journal that a page asks for what becomes of it, once.
func TestOutgoingListsEachFileOnce(t *testing.T) {
	in := input(t, written(t, sea(map[string]string{
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n[a](sketch.txt), [again](sketch.txt), [b](sheet.pdf), [the log](a.csv)\n",
		"cart/1-first/sketch.txt": "a sketch\n",
		"cart/1-first/sheet.pdf":  "%PDF-1.7",
	})))
	p, _ := build(t, in)
	all, err := p.Outgoing()
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	to := map[string]bool{}
	for _, o := range all {
		if o.From != "" {
			count[o.From]++
		}
		to[o.To] = true
		if (o.To == "") != (o.Why != "") {
			t.Errorf("%+v", o)
		}
	}
	for _, name := range []string{"a.csv", "b.csv", "c.csv", "d.csv", "sketch.txt", "sheet.pdf"} {
		if n := count["cart/1-first/"+name]; n != 1 {
			t.Errorf("%s stands there %d times", name, n)
		}
	}
	for _, name := range p.Paths() {
		if !to[name] {
			t.Errorf("%s goes online and is not in the list", name)
		}
	}
}
