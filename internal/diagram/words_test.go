package diagram

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
)

func named(t testing.TB, name string) circuittest.Example {
	t.Helper()
	for _, x := range drawn(t) {
		if x.Name == name {
			return x
		}
	}
	t.Fatalf("no circuit %q", name)
	return circuittest.Example{}
}

func TestDescriptionCanBeFollowed(t *testing.T) {
	x := named(t, "04-shunter-cutout")
	d := Power(&x.Circuit, nil, Options{ID: "wiring"})
	const want = "From the packs at the left to the loads at the right, 5 parts and 7 leads." +
		" battery, pack, 25.6 V: + by W1 (red, 4 mm², 150 mm) to fuse in; - by W3 (black, 4 mm², 300 mm) to cutout in-." +
		" fuse, 30 A: out by W2 (red, 4 mm², 300 mm) to cutout in+." +
		" cutout, 40 A: out+ by W4 (red, 4 mm², 300 mm) to controller in+; out- by W5 (black, 4 mm², 300 mm) to controller in-." +
		" controller, speed controller, 45 A: out+ by W6 (yellow, 4 mm², 300 mm) to motor +; out- by W7 (white, 4 mm², 300 mm) to motor -." +
		" motor, 24 V."
	if d.Description != want {
		t.Errorf("description\n%s\nwant\n%s", d.Description, want)
	}
	svg := string(d.SVG)
	for _, part := range []string{`role="img"`, `aria-labelledby="wiring-title wiring-desc"`, `<title id="wiring-title">Power path</title>`, `<desc id="wiring-desc">From the packs`} {
		if !strings.Contains(svg, part) {
			t.Errorf("the drawing has no %s", part)
		}
	}
	if d := Power(&x.Circuit, solved(x), Options{}); !strings.Contains(d.Description, "+ by W1 (red, 4 mm², 150 mm, 5.18 A outwards) to fuse in; - by W3 (black, 4 mm², 300 mm, 5.18 A back)") {
		t.Errorf("description with currents: %s", d.Description)
	}
}

// TestEveryLeadIsTold checks that title, number, letters, terminals and ratings
// of every circuit are on its drawing, and every lead in its description.
func TestEveryLeadIsTold(t *testing.T) {
	for _, x := range drawn(t) {
		for _, how := range []Lettering{InFull, Numbers} {
			d := Power(&x.Circuit, solved(x), Options{Lettering: how, Key: how == Numbers})
			seen := map[string]int{}
			for _, b := range d.Boxes {
				if b.Ink == Text {
					seen[b.Of]++
				}
			}
			all := " "
			for text := range seen {
				all += text + " | "
			}
			n := analyse(&x.Circuit)
			whips, _ := x.Circuit.CutList(0)
			for i := range x.Circuit.Leads {
				l := &x.Circuit.Leads[i]
				if !n.leads[i] {
					continue
				}
				if !strings.Contains(all, " "+whips[i].Label+" ") {
					t.Errorf("%s: %s is not numbered", x.Name, whips[i].Label)
				}
				if code, ok := circuit.ColourCode(l.Colour, l.Stripe); ok && !strings.Contains(all, " "+code+" ") {
					t.Errorf("%s: no letters %s", x.Name, code)
				}
				if l.Size.Area > 0 && !strings.Contains(all, l.Size.String()) {
					t.Errorf("%s: no size %s", x.Name, l.Size)
				}
				if !strings.Contains(d.Description, " by "+whips[i].Label+" ") {
					t.Errorf("%s: %s is not described", x.Name, whips[i].Label)
				}
			}
			for i := range x.Circuit.Parts {
				for _, term := range x.Circuit.Parts[i].Terminals() {
					if strings.HasPrefix(term.Name, "coil") && x.Circuit.Parts[i].Coil == 0 {
						continue
					}
					if seen[term.Name] == 0 {
						t.Errorf("%s: terminal %s of %s has no label", x.Name, term.Name, x.Circuit.Parts[i].Name)
					}
				}
			}
		}
	}
}

func TestLegendTellsOfUnusualPositive(t *testing.T) {
	says := func(d Drawing, words string) bool {
		for _, l := range d.Legend {
			if l.Words == words {
				return true
			}
		}
		return false
	}
	const orange = "Positive is orange in this vehicle, not red."
	x := named(t, "own-01-orange")
	if d := Power(&x.Circuit, nil, Options{}); !says(d, orange) || !says(d, "green with a yellow stripe") || !strings.Contains(string(d.SVG), ">"+orange+"<") {
		t.Errorf("legend %+v", d.Legend)
	}
	for _, name := range []string{"04-shunter-cutout", "own-12-reversing-switch"} {
		usual := named(t, name)
		for _, l := range Power(&usual.Circuit, nil, Options{}).Legend {
			if strings.HasPrefix(l.Words, "Positive") {
				t.Errorf("%s: red positive gives %q", name, l.Words)
			}
		}
	}
}

func TestLiveSaysWhatIsLive(t *testing.T) {
	x := named(t, "05-shunter-stop")
	for _, c := range []struct {
		part string
		want string
	}{
		{"stop", "With stop open, these terminals stay live: battery +, fuse in, fuse out and stop in. Live leads: W1 and W2. Leads of the return: W4 and W6. No load can draw a current."},
		{"cutout", "With cutout open, these terminals stay live: battery +, fuse in, fuse out, stop in, stop out and cutout in+. Live leads: W1, W2 and W3. Leads of the return: W4 and W6. No load can draw a current."},
	} {
		for i := range x.Circuit.Parts {
			if x.Circuit.Parts[i].Name != c.part {
				continue
			}
			live, err := x.Circuit.Live(i)
			if err != nil {
				t.Fatal(err)
			}
			d := Live(&x.Circuit, live, Options{})
			if d.Description != c.want {
				t.Errorf("%s: %s", c.part, d.Description)
			}
			counts := map[string]int{}
			for _, b := range d.Boxes {
				if b.Ink == Text {
					counts[b.Of]++
				}
			}
			if counts["live"] != len(live.Leads) || counts["return"] != 2 || counts["dead"] != len(x.Circuit.Leads)-len(live.Leads)-2 || counts["open"] != 1 {
				t.Errorf("%s: words on the leads %v", c.part, counts)
			}
			if n := strings.Count(string(d.SVG), `"d-ring d-hot"`); n != len(live.Terminals) {
				t.Errorf("%s: %d rings are filled for %d live terminals", c.part, n, len(live.Terminals))
			}
		}
	}
}

// TestNothingFedIsCalledDead opens the key of a contactor that the search of all
// positions takes as closed: the motor may still run, and no lead of it is dead.
func TestNothingFedIsCalledDead(t *testing.T) {
	x := named(t, "12-key-and-contactor")
	live, err := x.Circuit.Live(3)
	if err != nil {
		t.Fatal(err)
	}
	s := string(Live(&x.Circuit, live, Options{}).SVG)
	if n := strings.Count(s, ">fed<"); n != 2 {
		t.Errorf("%d leads are fed, the motor has 2", n)
	}
	if n := strings.Count(s, ">can still run<"); n != len(live.Fed) {
		t.Errorf("%d parts can still run, want %d", n, len(live.Fed))
	}
}

// TestStyleIsInTheTheme holds the style of a drawing that stands alone and the
// theme's together, and both to the classes that are used.
func TestStyleIsInTheTheme(t *testing.T) {
	css, err := os.ReadFile("../../themes/workshop/drawing.css")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(css), Style) {
		t.Error("themes/workshop/drawing.css does not contain Style")
	}
	for word, colour := range paints {
		if !strings.Contains(Style, "--d-"+word+": "+colour+";") || !strings.Contains(Style, ".d-"+word+" { stroke: var(--d-"+word+"); }") {
			t.Errorf("Style does not have %s %s", word, colour)
		}
	}
	for _, c := range circuit.Colours {
		if _, ok := paints[c.Word]; !ok {
			t.Errorf("no paint for %s", c.Word)
		}
	}
}

// TestNoStyleInline checks what a page under default-src 'self' needs: no style
// element, no style attribute, no script, nothing fetched.
func TestNoStyleInline(t *testing.T) {
	banned := regexp.MustCompile(`<style|<script|\sstyle=|\son[a-z]+=|href=|url\(`)
	for _, x := range drawn(t) {
		for _, o := range variants {
			o.Standalone = false
			d := Power(&x.Circuit, solved(x), o)
			if found := banned.Find(d.SVG); found != nil {
				t.Errorf("%s: %s", x.Name, found)
			}
		}
	}
	x := named(t, "01-barrow-switch")
	d := Power(&x.Circuit, nil, Options{Standalone: true})
	if !strings.Contains(string(d.SVG), "<style>\n"+Style) || !strings.Contains(Style, "prefers-color-scheme: dark") {
		t.Error("a drawing that stands alone has no style of its own")
	}
}

// TestPaper checks that a sheet has the size of its paper and says how large its
// letters are.
func TestPaper(t *testing.T) {
	for _, c := range []struct {
		name  string
		paper Paper
		size  string
		fits  bool
	}{
		{"05-shunter-stop", A4, `width="297mm" height="210mm"`, true},
		{"05-shunter-stop", Letter, `width="279.4mm" height="215.9mm"`, true},
		{"own-14-six-lamps", A4, `width="297mm" height="210mm"`, true},
		{"20-whole-shunter", A4, `width="297mm" height="210mm"`, false},
	} {
		x := named(t, c.name)
		d := Power(&x.Circuit, solved(x), Options{Paper: c.paper})
		svg := string(d.SVG)
		if !strings.Contains(svg, c.size) {
			t.Errorf("%s: not %s", c.name, c.size)
		}
		if fits := d.CapHeight >= LeastLettering; fits != c.fits || strings.Contains(svg, "too small for this sheet") == fits {
			t.Errorf("%s: capitals of %.2f mm", c.name, float64(d.CapHeight)*1000)
		}
	}
}

func TestMonochromeHasNoColour(t *testing.T) {
	x := named(t, "own-01-orange")
	svg := string(Power(&x.Circuit, solved(x), Options{Monochrome: true}).SVG)
	for word, colour := range paints {
		if word != "white" && strings.Contains(svg, colour) {
			t.Errorf("%s in black and white", word)
		}
	}
	dashes := map[string]bool{}
	for _, m := range regexp.MustCompile(`stroke-dasharray="([^"]*)"`).FindAllStringSubmatch(svg, -1) {
		dashes[m[1]] = true
	}
	if len(dashes) < 4 { // orange is solid; grey, green, brown, violet
		t.Errorf("dashes %v do not tell five colours apart", dashes)
	}
}
