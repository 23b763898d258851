package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voltwright/themes"
)

// Contrast as WCAG 2.2 has it: 4.5 : 1 for text (1.4.3), 3 : 1 for what must be seen to use the page (1.4.11). Each custom
// property of the sheet that is a colour is one of these; one that is not in the table fails, so a new one cannot escape.
const (
	textContrast = 4.5
	lineContrast = 3
)

var inks = map[string]float64{"ink": textContrast, "ink-soft": textContrast, "press": textContrast, "measured": textContrast, "computed": textContrast,
	"quoted": textContrast, "rule": lineContrast}

// grounds are what is written on; hair lines part rows that are apart without them, and the desk has no words on it.
var grounds, ornaments = []string{"paper", "wash"}, []string{"desk", "hair"}

var (
	colourProperty = regexp.MustCompile(`--([a-z-]+):\s*(#[0-9a-fA-F]{3,6})\s*;`)
	signalColours  = regexp.MustCompile(`\.signal\.([a-z]+) \{ background: (#[0-9a-fA-F]{3,6}); color: (#[0-9a-fA-F]{3,6}); \}`)
)

func TestColoursStandOutFromTheirGround(t *testing.T) {
	data, err := themes.FS.ReadFile("workshop/sheet.css")
	if err != nil {
		t.Fatal(err)
	}
	css := string(data)
	_, fromRoot, _ := strings.Cut(css, ":root {")
	light, rest, _ := strings.Cut(fromRoot, "}")
	_, rest, _ = strings.Cut(rest, "(prefers-color-scheme: dark)")
	dark, _, _ := strings.Cut(rest, "}")
	_, onPaper, _ := strings.Cut(css, "@media print {\n  body")
	_, onPaper, _ = strings.Cut(onPaper, ":root {")
	onPaper, _, _ = strings.Cut(onPaper, "}")
	for scheme, block := range map[string]string{"light": light, "dark": dark, "print": onPaper} {
		colours := map[string]string{}
		for _, m := range colourProperty.FindAllStringSubmatch(block, -1) {
			colours[m[1]] = m[2]
		}
		known := map[string]bool{}
		for _, name := range append(append([]string{}, grounds...), ornaments...) {
			known[name] = true
		}
		for ink, least := range inks {
			known[ink] = true
			for _, ground := range grounds {
				if colours[ink] == "" || colours[ground] == "" {
					t.Fatalf("%s: --%s or --%s is not set", scheme, ink, ground)
				}
				if got := contrastOf(t, colours[ink], colours[ground]); got < least {
					t.Errorf("%s: --%s on --%s stands out by %.2f : 1, not %g : 1", scheme, ink, ground, got, least)
				}
			}
		}
		for name := range colours {
			if !known[name] {
				t.Errorf("%s: nobody has said what --%s is for", scheme, name)
			}
		}
	}
	signals := signalColours.FindAllStringSubmatch(css, -1)
	if len(signals) != 4 {
		t.Errorf("%d signal words have colours, not 4", len(signals))
	}
	for _, m := range signals {
		if got := contrastOf(t, m[3], m[2]); got < textContrast {
			t.Errorf("%s: its word stands out by %.2f : 1", m[1], got)
		}
	}
}

// The formula, held against pairs whose ratio is known: black on white has 21 : 1 by definition, and #767676 on white is
// the lightest grey that passes 4.5 : 1 (WebAIM, "Contrast and Color Accessibility").
func TestContrastFormula(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000", "#fff", 21}, {"#fff", "#000000", 21}, {"#767676", "#ffffff", 4.54}, {"#777777", "#ffffff", 4.48}, {"#123456", "#123456", 1}} {
		if got := contrastOf(t, c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%s on %s: %.3f, not %g", c.a, c.b, got, c.want)
		}
	}
}

// contrastOf is the contrast ratio of WCAG 2.2 between two colours in sRGB.
func contrastOf(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminanceOf(t, a), luminanceOf(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminanceOf(t *testing.T, hex string) float64 {
	t.Helper()
	digits := strings.TrimPrefix(hex, "#")
	if len(digits) == 3 {
		digits = digits[:1] + digits[:1] + digits[1:2] + digits[1:2] + digits[2:] + digits[2:]
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || len(digits) != 6 {
		t.Fatalf("%q is no colour: %v", hex, err)
	}
	linear := func(shift uint) float64 {
		c := float64(n>>shift&0xff) / 255
		if c > 0.04045 {
			return math.Pow((c+0.055)/1.055, 2.4)
		}
		return c / 12.92
	}
	return 0.2126*linear(16) + 0.7152*linear(8) + 0.0722*linear(0)
}
