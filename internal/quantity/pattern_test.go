package quantity

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"regexp/syntax"
	"slices"
	"strings"
	"testing"
)

// patterns are compiled once, by Go's engine.
var patterns = func() map[Dimension]*regexp.Regexp {
	out := map[Dimension]*regexp.Regexp{anyDimension: regexp.MustCompile(AmountPattern())}
	for d := range Dimension(dimensionCount) {
		out[d] = regexp.MustCompile(Pattern(d))
	}
	return out
}()

var accuracyPattern = regexp.MustCompile(AccuracyPattern())

// The parser is the oracle; here is what a reader can check by eye.
func TestPatternsOfValuesAsTheyAreWritten(t *testing.T) {
	for _, tt := range []struct {
		d       Dimension
		text    string
		matches bool
	}{
		{Voltage, "23.1 V", true}, {Voltage, "23.1V", true}, {Voltage, "-0.4\u00a0mV", true}, {Voltage, "−0.4\u202fmV", true},
		{Voltage, "23.1 volts", true}, {Voltage, "(23.14 ± 0.06) V", true}, {Voltage, "23.14 ± 0.06 V", true}, {Voltage, "23.14 V +/- 60 mV", true},
		{Voltage, "1.2e3 mV", true}, {Voltage, ".5 V", true}, {Voltage, "5. V", true}, {Voltage, "12\u2009000 V", true},
		{Voltage, "23.1", false}, {Voltage, "23,1 V", false}, {Voltage, "23.1 A", false}, {Voltage, "V", false}, {Voltage, "23 1 V", false}, {Voltage, "", false},
		{Voltage, "23.1 V ± 2 %", false}, {Voltage, "23.1 V ± 0.1 A", false}, {Voltage, "23.1 V ± 0.1", false}, {Voltage, "(23.1) V", false}, {Voltage, "± 2 V", false}, {Voltage, "18 V to 32 V", false},
		{Charge, "9.6 Ah", true}, {Charge, "9.6 A·h", true}, {Charge, "9.6 A*h", true}, {Charge, "9.6 amp hours", true}, {Charge, "9.6 ah", false}, {Charge, "9600 mA", false},
		{Resistance, "38 m\u2126", true}, {Resistance, "38 mΩ", true}, {Resistance, "38 mohm", true}, {Resistance, "38 mω", false},
		{Time, "2 h 7 min 30.5 s", true}, {Time, "2h7min", true}, {Time, "2 h 7 m", true}, {Time, "2:07:30.5", true}, {Time, "7:30", true}, {Time, "1 h 41 min ± 2 min", true}, {Time, "1 h 41 min ± 1 min 30 s", true}, {Time, "(7:30 ± 5) s", true},
		{Time, "7 m 30 s", false}, {Time, "7:60", false}, {Time, "30 s 2 h", false}, {Time, "2.5 h 7 min", false}, {Time, "5 m", false}, {Time, "+2 h 7 min", false},
		{Length, "5\"", true}, {Length, "186 m", true}, {Rotation, "2700 1/min", true}, {Rotation, "27001/min", false},
		{Area, "12 AWG", true}, {Area, "awg 2/0", true}, {Area, "2.5 mm2", true}, {Area, "41 AWG", false}, {Area, "12 AWG ± 1 AWG", false}, {Area, "5/0 AWG", false},
		{Temperature, "20 °C ± 0.5 K", true}, {Temperature, "20 degC", true}, {Temperature, "20 K", false}, {TemperatureDifference, "5 °C", true},
		{Share, "60 %", true}, {Share, "0.6", false}, {Plain, "11.2", true}, {Plain, "0.013 ± 0.003", true}, {Plain, "11.2 V", false},
		{anyDimension, "310 m", true}, {anyDimension, "12 AWG", true}, {anyDimension, "3", true}, {anyDimension, "three", false},
	} {
		if got := patterns[tt.d].MatchString(tt.text); got != tt.matches {
			t.Errorf("%s: %q matches: %v", tt.d, tt.text, got)
		}
		if _, err := ParseAs(tt.text, tt.d); (err == nil) != tt.matches {
			t.Errorf("%s: %q is not what the table says for the parser: %v", tt.d, tt.text, err)
		}
	}
	for text, matches := range map[string]bool{
		"±(0.5 % + 2 digits)": true, "±0.5 %": true, "± 2 Dgt.": true, "+/- 0.05 V": true, "±(0.8 % of Reading + 0.02 V)": true, "±1 °F": true, "±(1 % rdg + 3 counts + 2 mV)": true,
		"0.5 %": false, "±0.5 % FS": false, "±5": false, "±-1 V": false, "±(0.5 %": false, "±0.5 ‰": false, "±0.5 % ± 1 V": false,
	} {
		if got := accuracyPattern.MatchString(text); got != matches {
			t.Errorf("the accuracy %q matches: %v", text, got)
		}
		if _, err := ParseAccuracy(text); (err == nil) != matches {
			t.Errorf("%q is not what the table says for the parser: %v", text, err)
		}
	}
	within := regexp.MustCompile(RangePattern(Voltage))
	for text, matches := range map[string]bool{"18 V to 32 V": true, "(18 ± 1) V to 32 V ± 1 V": true, "18 to 32 V": false, "18 V": false, "18 V - 32 V": false, "18 V to 32 A": false} {
		if got := within.MatchString(text); got != matches {
			t.Errorf("the range %q matches: %v", text, got)
		}
	}
}

// texts writes values out of the table of units in the ways in which they can be typed, and breaks some of them.
func texts(rng *rand.Rand, emit func(string)) {
	pick := func(all ...string) string { return all[rng.IntN(len(all))] }
	var units []string
	for _, u := range unitTable {
		units = append(append(units, u.symbol), u.aliases...)
	}
	space := func() string { return pick("", " ", " ", "\u00a0", "\u2009", "\u202f", "\u2060", "  ", "\t") }
	number := func() string {
		n := pick("0", "7", "23.1", ".5", "5.", "0.013", "1234", "12\u2009000", "1\u00a0234\u00a0567.5", "12\u202f00", "1e3", "2E-2", "3e+4", "5e−1", "23,1", "1,234", "1.2.3", "1e", "007", "59", "75")
		return pick("", "", "", "-", "−", "+", "--") + n
	}
	retype := strings.NewReplacer("µ", "μ", "Ω", "\u2126", "·", pick("*", "⋅", "∙", "•", "×", "·"), "Δ", "\u2206", " ", pick(" ", "\u00a0", "  "))
	unit := func() string {
		u := units[rng.IntN(len(units))]
		if rng.IntN(3) == 0 {
			u = retype.Replace(u)
		}
		if rng.IntN(40) == 0 {
			u = strings.ToUpper(u)
		}
		return u
	}
	parts := func() string {
		var b strings.Builder
		b.WriteString(pick("", "", "-", "− "))
		for i := rng.IntN(3); i < 4; i += 1 + rng.IntN(2) {
			b.WriteString(pick("1", "7", "30", "59", "2.5", "+3", "1\u2009000") + space() + []string{pick("d", "days"), pick("h", "hr", "hours"), pick("min", "m", "minutes"), pick("s", "sec")}[i] + space())
		}
		return b.String()
	}
	pm := func() string { return space() + pick("±", "+/-", "+/−", "+-", "±") + space() }
	for _, u := range units { // each spelling at least once by itself
		emit("12.7 " + u)
		emit("12.7\u00a0" + retype.Replace(u))
		emit("(12.7 ± 0.5) " + u)
	}
	for range 8_000 {
		u := unit()
		u2 := pick(u, u, "", unit(), "K", "%", "s", "min")
		v := number() + space() + u
		switch rng.IntN(9) {
		case 0, 1:
			emit(space() + v + space())
		case 2:
			emit(v + pm() + number() + space() + u2)
		case 3:
			emit(number() + pm() + number() + space() + u)
		case 4:
			emit("(" + space() + number() + pm() + number() + space() + u2 + ")" + space() + u)
		case 5:
			emit(parts() + pick("", pm()+parts(), pm()+number()+" "+u2))
		case 6:
			clock := pick("", "-", "+") + pick("7", "120", "1") + pick(":30", ":07:30.5", ":7", ":60", ":00:00.", ":05:05:05")
			emit(pick(clock, clock+pm()+number()+" s", "("+clock+pm()+number()+") s"))
		case 7:
			size := pick("12", "4/0", "000", "40", "41", "012", "5/0", "1")
			emit(pick(size+space()+pick("AWG", "awg", "Awg"), "AWG"+space()+size, size+" AWG"+pm()+"1 AWG"))
		default:
			term := func() string {
				return number() + space() + pick("%", "digits", "Dgt", "% rdg", "% OF  Reading", "% fs", "counts", u, u)
			}
			emit(pick("±", "+/-", "±±", "") + space() + pick(term(), "("+term()+" + "+term()+")", term()+"+"+term(), "("+term()))
		}
	}
}

// holds says where a pattern refuses what the parser accepts, which must not be,
// and counts in loose what it accepts and the parser refuses.
func holds(text string, loose map[string]int) error {
	judge := func(name string, pattern *regexp.Regexp, err error, loose map[string]int) error {
		matches := pattern.MatchString(text)
		if err == nil && !matches {
			return fmt.Errorf("%q is read as %s, and the pattern refuses it", text, name)
		}
		if err != nil && matches && loose != nil {
			loose["all"]++
		}
		if matches && loose != nil {
			loose["matched"]++
		}
		return nil
	}
	for d, pattern := range patterns {
		_, err := ParseAs(text, d)
		if d == anyDimension {
			_, err = Parse(text)
		}
		counted := loose
		if d == anyDimension { // what may stand after ± depends on the value before it, which is no matter for a pattern
			counted = nil
		}
		if bad := judge(d.String(), pattern, err, counted); bad != nil {
			return bad
		}
	}
	_, err := ParseAccuracy(text)
	return judge("an accuracy", accuracyPattern, err, loose)
}

// Whatever the parser accepts, the pattern of the dimension accepts. The parser
// is the oracle; the texts are made from the table of units, each spelling, with
// signs, spaces, groups, exponents, uncertainty in all its forms, and slips.
func TestPatternsRefuseNothingThatIsRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 15))
	loose := map[string]int{}
	seen := 0
	texts(rng, func(text string) {
		seen++
		if err := holds(text, loose); err != nil {
			t.Error(err)
		}
	})
	t.Logf("%d texts, %d matches of which the parser refuses %d", seen, loose["matched"], loose["all"])
	if loose["matched"] < seen/3 {
		t.Errorf("of %d texts only %d match: they try too little", seen, loose["matched"])
	}
	if loose["all"] > loose["matched"]/20 {
		t.Errorf("of %d matches the parser refuses %d", loose["matched"], loose["all"])
	}
}

// FuzzPattern: no text that is read is refused.
func FuzzPattern(f *testing.F) {
	rng := rand.New(rand.NewPCG(3, 1))
	n := 0
	texts(rng, func(text string) {
		if n++; n%20 == 0 {
			f.Add(text)
		}
	})
	f.Fuzz(func(t *testing.T, text string) {
		if err := holds(text, nil); err != nil {
			t.Error(err)
		}
	})
}

// The patterns use only what Go's regexp and ECMA-262 read alike, and only
// characters of the basic plane, which both count as one with the u flag and
// without it.
func TestPatternsKeepToTheCommonSubset(t *testing.T) {
	all := []string{AmountPattern(), AccuracyPattern()}
	for d := range Dimension(dimensionCount) {
		all = append(all, Pattern(d), RangePattern(d))
	}
	for _, p := range all {
		if _, err := syntax.Parse(p, syntax.Perl); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(p, "^") || !strings.HasSuffix(p, "$") {
			t.Errorf("%q does not hold for the whole text", p)
		}
		runes := []rune(p)
		class := false
		for i, r := range runes {
			next := rune(0)
			if i+1 < len(runes) {
				next = runes[i+1]
			}
			escaped := i > 0 && runes[i-1] == '\\'
			switch {
			case r > 0xffff:
				t.Errorf("%U in %q", r, p)
			case r == '\\' && !strings.ContainsRune(`^$\.*+?()[]{}|`, next):
				t.Errorf(`\%c in %q means one thing here and another there`, next, p)
			case r == '\\' && class:
				t.Errorf("an escape within a class in %q", p)
			case escaped:
			case r == '[' && class:
				t.Errorf("a [ within a class in %q", p)
			case r == '[':
				class = true
			case r == ']':
				class = false
			case class && r == '^':
				t.Errorf("a class that excludes in %q", p)
			case class && r == '&' && next == '&':
				t.Errorf("&& in a class in %q", p)
			case r == '(' && next == '?' && runes[i+2] != ':' && !class:
				t.Errorf("(?%c in %q", runes[i+2], p)
			}
		}
	}
	if slices.Contains(all, "^$") {
		t.Error("a pattern is empty")
	}
}
