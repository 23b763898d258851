package evidence

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// TestNumbersInWords: English as it is written (small numbers joined with a hyphen from twenty-one on, ordinals in st, nd, rd
// and th, but eleventh to thirteenth in every hundred), there and back.
func TestNumbersInWords(t *testing.T) {
	ones := strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
	decades := strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")
	for n := range 130 {
		want := fmt.Sprint(n)
		switch {
		case n < 20:
			want = ones[n]
		case n < 100 && n%10 == 0:
			want = decades[n/10]
		case n < 100:
			want = decades[n/10] + "-" + ones[n%10]
		}
		if got := inWords(n); got != want {
			t.Errorf("%d is written %s, want %s", n, got, want)
		}
		if n == 0 {
			continue
		}
		for _, text := range []string{want, strings.ToUpper(want), want + " volts"} {
			tokens := tokensOf(text)
			used := len(tokens) - strings.Count(text, " ")
			if got, read := wholeWords(tokens); got != n || read != used {
				t.Errorf("%q is read as %d from %d words", text, got, read)
			}
		}
	}
	if got := inWords(-3); got != "-3" {
		t.Errorf("-3 is written %s", got)
	}
	for text, want := range map[string][2]int{
		"a hundred": {100, 2}, "two hundred": {200, 2}, "two hundred and five volts": {205, 4}, "three hundred and forty-two": {342, 5}, "a thousand": {1000, 2}, "two thousand and one": {2001, 4},
		"four thousand five hundred and sixty seven": {4567, 7}, "a dozen": {0, 0}, "two dozen": {24, 2}, "dozen": {12, 1}, "twenty thirty": {20, 1}, "five twenty": {5, 1}, "hundred": {0, 0}, "thousand": {0, 0}, "one and a half": {1, 1},
		"two hundred thousand": {200000, 3}, "twenty ten": {20, 1}, "one hundred hundred": {100, 2}, "a": {0, 0}, "a volt": {0, 0}, "12": {12, 1}, "12 volts": {12, 1}, "-3": {0, 0}, "+3": {0, 0}, "": {0, 0}, "and five": {0, 0}, "hundred and": {0, 0}, "one hundred and": {100, 2}, "two thousand hundred": {2000, 2},
	} {
		if got, read := wholeWords(tokensOf(text)); got != want[0] || read != want[1] {
			t.Errorf("%q is read as %d from %d words, want %v", text, got, read, want)
		}
	}
	for n, want := range map[int]string{1: "first", 2: "second", 3: "third", 12: "twelfth", 13: "13th", 11: "eleventh", 20: "20th", 21: "21st", 22: "22nd", 23: "23rd", 24: "24th", 101: "101st", 111: "111th", 112: "112th", 113: "113th", 114: "114th", 122: "122nd", 0: "0th"} {
		if got := ordinalWord(n); got != want {
			t.Errorf("the ordinal of %d is %s, want %s", n, got, want)
		}
		if got, ok := ordinal(want); !ok || got != n {
			t.Errorf("%s is read as %d", want, got)
		}
	}
	for _, word := range []string{"", "th", "best", "fast", "third-rate"} {
		if n, ok := ordinal(word); ok {
			t.Errorf("%q is taken for the ordinal of %d", word, n)
		}
	}
}

// TestPartsInWords: the fractions of English, there and back.
func TestPartsInWords(t *testing.T) {
	for text, want := range map[string][3]int{
		"half": {1, 2, 1}, "a half": {1, 2, 2}, "quarter": {1, 4, 1}, "a third": {1, 3, 2}, "two thirds": {2, 3, 2}, "three quarters": {3, 4, 2}, "an eighth": {1, 8, 2}, "seven eighths": {7, 8, 2}, "three tenths": {3, 10, 2}, "one fifth": {1, 5, 2}, "five sixths": {5, 6, 2},
		"½": {1, 2, 1}, "⅓": {1, 3, 1}, "⅔": {2, 3, 1}, "¼": {1, 4, 1}, "¾": {3, 4, 1}, "⅕": {1, 5, 1}, "⅙": {1, 6, 1}, "⅛": {1, 8, 1}, "⅜": {3, 8, 1}, "⅝": {5, 8, 1}, "⅞": {7, 8, 1}, "⅒": {1, 10, 1},
		"four quarters": {0, 0, 0}, "three thirds": {0, 0, 0}, "third": {0, 0, 0}, "a": {0, 0, 0}, "two": {0, 0, 0}, "": {0, 0, 0}, "a volt": {0, 0, 0}, "THREE QUARTERS": {3, 4, 2}, "a-third": {1, 3, 2}, "one-third": {1, 3, 2},
	} {
		num, den, n := fractionWords(tokensOf(text))
		if [3]int{num, den, n} != want {
			t.Errorf("%q is read as %d/%d from %d words, want %v", text, num, den, n, want)
		}
	}
	for _, den := range []int{2, 3, 4, 5, 6, 8, 10} {
		for num := 1; num < den; num++ {
			text := fractionInWords(num, den)
			if a, b, n := fractionWords(tokensOf(text)); a*den != num*b || n != len(tokensOf(text)) {
				t.Errorf("%d/%d is written %q and read as %d/%d", num, den, text, a, b)
			}
		}
	}
	for _, c := range []struct {
		num, den int
		want     string
	}{{1, 2, "half"}, {1, 8, "an eighth"}, {1, 3, "a third"}, {2, 3, "two thirds"}, {5, 8, "five eighths"}, {1, 7, "a seventh"}, {1, 11, ""}} {
		if got := fractionInWords(c.num, c.den); got != c.want {
			t.Errorf("%d/%d is written %q, want %q", c.num, c.den, got, c.want)
		}
	}
	hours := func(s string) float64 {
		a, err := amountOf(s, Subject{Form: Number, Dimension: quantity.Time})
		if err != nil {
			t.Errorf("%q: %v", s, err)
		}
		return a.value / 3600
	}
	for text, want := range map[string]float64{"an hour and a half": 1.5, "one and a half hours": 1.5, "two and three quarter hours": math.NaN(), "two and three quarters hours": 2.75, "half an hour": 0.5, "three quarters of an hour": 0.75, "a quarter of an hour": 0.25,
		"an hour and twenty minutes": 4. / 3, "1 hour and 20 minutes": 4. / 3, "two hours and ten minutes": 13. / 6, "2½ hours": 2.5, "a third of a day": 8, "twenty-five minutes": 25. / 60} {
		if math.IsNaN(want) {
			continue
		}
		if got := hours(text); math.Abs(got-want) > 1e-12 {
			t.Errorf("%q is %v h, want %v h", text, got, want)
		}
	}
	for _, text := range []string{"", "three quarters hour", "an hour and two hours", "twenty minutes and an hour", "a few hours", "hours", "two"} {
		if a, err := amountOf(text, Subject{Form: Number, Dimension: quantity.Time}); err == nil {
			t.Errorf("%q is read as %v s", text, a.value)
		}
	}
}

// TestSaidAgain: an amount in words, said of other values of its manner, is read as those values; the words are as one says them.
func TestSaidAgain(t *testing.T) {
	for _, c := range []struct {
		text string
		x    float64
		want string
	}{
		{"an hour and a half", 2.5 * 3600, "two and a half hours"}, {"an hour and a half", 0.5 * 3600, "half an hour"}, {"an hour and a half", 3600, "an hour"}, {"an hour and a half", 3 * 3600, "three hours"}, {"three quarters of an hour", 900, "a quarter of an hour"},
		{"three quarters of an hour", 1800, "half an hour"}, {"three quarters of an hour", 1.25 * 3600, "an hour and a quarter"}, {"two thirds of a mile", 1609.344 / 3, "a third of a mile"}, {"two minutes", 60, "a minute"}, {"two minutes", 300, "five minutes"}, {"two hours", 0, ""},
		{"an hour and twenty minutes", 2*3600 + 60, "2 h 1 min"},
	} {
		d := quantity.Time
		if strings.Contains(c.text, "mile") {
			d = quantity.Length
		}
		a, err := amountOf(c.text, Subject{Form: Number, Dimension: d})
		if err != nil {
			t.Fatal(err)
		}
		if got := a.write(c.x, math.Round); got != c.want {
			t.Errorf("in the manner of %q, %v is %q, want %q", c.text, c.x, got, c.want)
		}
	}
	for _, c := range []struct {
		text string
		x    float64
		want string
	}{{"three runs", 5, "five runs"}, {"three runs", 1, "one run"}, {"1 run", 4, "4 runs"}, {"0 stops", 3, "3 stops"}, {"9 stops", 3, "3 stops"}, {"version 3", 4, "version 4"}, {"version three", 4, "version four"}, {"the third version", 5, "fifth version"}, {"a dozen", 11, "eleven"}, {"twice", 3, "three"}} {
		a, err := amountOf(c.text, Subject{Form: Count})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.TrimSpace(a.write(c.x, math.Round)); got != c.want {
			t.Errorf("in the manner of %q, %v is %q, want %q", c.text, c.x, got, c.want)
		}
	}
	for text, want := range map[string]float64{"no runs": 0, "none": 0, "never": 0, "once": 1, "a single run": 1, "twice": 2, "both": 2, "a dozen runs": 12, "a pair": 2, "a hundred laps": 100, "a run": 1, "the 3rd": 3, "third": 3, "version 3": 3, "12 laps": 12, "single": 1} {
		if a, err := amountOf(text, Subject{Form: Count}); err != nil || a.value != want || a.step != 1 || a.half != 0 {
			t.Errorf("%q counts %v, want %v: %v", text, a.value, want, err)
		}
	}
	for _, text := range []string{"a few runs", "a lot", "many", "a handful", "a couple of runs", "3 runs 4"} {
		if a, err := amountOf(text, Subject{Form: Count}); err == nil {
			t.Errorf("%q counts %v", text, a.value)
		}
	}
}

// TestEveryDay holds each way to write a date to the calendar of the standard library, over a leap year and one that is none.
func TestEveryDay(t *testing.T) {
	for day := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < 2025; day = day.AddDate(0, 0, 1) {
		want := float64(day.Unix()) / 86400
		for _, layout := range []string{"2006-01-02", "2 January 2006", "2 Jan 2006", "January 2, 2006", "Jan 2, 2006", "the 2 January 2006", "2 of January 2006", "2th January 2006", "2 Jan. 2006"} {
			first, last, _, err := stretchOf(day.Format(layout))
			if err != nil || dayNumber(first) != want || dayNumber(last) != want {
				t.Fatalf("%q is %v to %v: %v", day.Format(layout), first, last, err)
			}
		}
		first, last, layout, err := stretchOf(day.Format("2 January"))
		if err != nil || first.Month() != day.Month() || first.Day() != day.Day() || first != last || strings.Contains(layout, "2006") {
			t.Fatalf("%q is %v: %v", day.Format("2 January"), first, err)
		}
		if y := yearless(want); y != dayNumber(first) {
			t.Fatalf("%v in no year is %v, want %v", day, y, dayNumber(first))
		}
		for _, layout := range []string{"2006-01", "January 2006", "Jan 2006", "January, 2006"} {
			first, last, _, err := stretchOf(day.Format(layout))
			if err != nil || first.Day() != 1 || last.AddDate(0, 0, 1) != first.AddDate(0, 1, 0) || first.Month() != day.Month() {
				t.Fatalf("%q is %v to %v: %v", day.Format(layout), first, last, err)
			}
		}
	}
	first, last, _, err := stretchOf("the year 2024")
	if err != nil || dayNumber(last)-dayNumber(first) != 365 {
		t.Errorf("2024 is %v to %v", first, last)
	}
	for _, text := range []string{"30 February 2024", "29 February 2023", "31 April 2024", "2024-13-01", "2024-00-10", "2024-13", "2024-00", "0 May 2024", "32 May 2024", "4/5/2026", "Smarch 2024", "Tuesday", "12 Ma 2024"} {
		if first, _, _, err := stretchOf(text); err == nil {
			t.Errorf("%q is %v", text, first)
		}
	}
	if m, _ := monthOf("sept."); m != 9 {
		t.Errorf("sept. is month %d", m)
	}
	april := func(n int) float64 { return dayNumber(day(2026, 4, n)) }
	for words, c := range map[string]struct{ yes, no []float64 }{
		"April 2026": {[]float64{april(1), april(30)}, []float64{april(0), april(31)}}, "after April 2026": {[]float64{april(31)}, []float64{april(30)}}, "before April 2026": {[]float64{april(0)}, []float64{april(1)}},
		"since April 2026": {[]float64{april(1), april(90)}, []float64{april(0)}}, "up to April 2026": {[]float64{april(30), april(-9)}, []float64{april(31)}}, "12 April": {[]float64{april(12), april(12) + 365}, []float64{april(11), april(13)}},
		"12 April 2026": {[]float64{april(12)}, []float64{april(12) + 365}}, "from 2 April 2026 to 4 April 2026": {[]float64{april(2), april(4)}, []float64{april(1), april(5)}},
		"from April 2026 to May 2026": {[]float64{april(1), april(61)}, []float64{april(0), april(62)}},
	} {
		claim, err := Read(words, Subject{Form: Date})
		if err != nil {
			t.Errorf("%q: %v", words, err)
		}
		for _, x := range c.yes {
			if !claim.Holds(x) {
				t.Errorf("%q does not hold on day %v", words, x)
			}
		}
		for _, x := range c.no {
			if claim.Holds(x) {
				t.Errorf("%q holds on day %v", words, x)
			}
		}
	}
	for _, words := range []string{"after 12 April", "about April 2026", "nearly 2026"} {
		if _, err := Read(words, Subject{Form: Date}); err == nil {
			t.Errorf("%q is read", words)
		}
	}
}

// TestLongestWords: two hundred bytes are read, one more is not.
func TestLongestWords(t *testing.T) {
	for n, ok := range map[int]bool{200: true, 201: false} {
		words := "0" + strings.Repeat("0", n-4) + "5 V"
		if len(words) != n {
			t.Fatal(len(words))
		}
		_, err := Read(words, Subject{Form: Number, Dimension: quantity.Voltage})
		if long := err != nil && strings.Contains(err.Error(), "too many"); long == ok {
			t.Errorf("%d bytes: %v", n, err)
		}
	}
}

// TestMoneyAsWritten: the marks of ISO 4217 and the words for them, said again of another amount in the same manner.
func TestMoneyAsWritten(t *testing.T) {
	for _, c := range []struct {
		text, currency string
		value, half    float64
		again          string // of 41.26
	}{
		{"£34.50", "GBP", 34.5, 0.005, "£41.26"}, {"34.50 GBP", "GBP", 34.5, 0.005, "41.26 GBP"}, {"GBP 34.50", "GBP", 34.5, 0.005, "GBP 41.26"}, {"35 pounds", "GBP", 35, 0.5, "41 pounds"}, {"£ 35", "GBP", 35, 0.5, "£ 41"}, {"34.5€", "EUR", 34.5, 0.05, "41.3€"}, {"34.5 €", "EUR", 34.5, 0.05, "41.3 €"},
		{"thirty-five pounds", "GBP", 35, 0.5, "forty-one pounds"}, {"a pound", "GBP", 1, 0.1, "forty-one pounds"}, {"two euros", "EUR", 2, 0.2, "forty-one euros"}, {"34 kr", "SEK", 34, 0.5, "41 kr"}, {"Fr. 20", "CHF", 20, 0.5, "Fr. 41"}, {"20 PLN", "PLN", 20, 0.5, "41 PLN"},
	} {
		a, err := priceOf(c.text, c.currency)
		if err != nil || math.Abs(a.value-c.value) > 1e-12 || math.Abs(a.half-c.half) > 1e-12 {
			t.Errorf("%s is %v ± %v: %v", c.text, a.value, a.half, err)
			continue
		}
		if got := a.write(41.26, math.Round); got != c.again {
			t.Errorf("in the manner of %s, 41.26 is %s, want %s", c.text, got, c.again)
		}
	}
	for _, text := range []string{"34.50", "£", "£34.50.1", "£x", "many pounds", "€34.50", "£-3", "£1e3"} {
		if a, err := priceOf(text, "GBP"); err == nil {
			t.Errorf("%q is %v", text, a.value)
		}
	}
	if _, err := priceOf("12", "GBP"); err == nil || !strings.Contains(err.Error(), "such as £34.50 is") {
		t.Errorf("what is wanted: %v", err)
	}
	if _, err := priceOf("12", "PLN"); err == nil || !strings.Contains(err.Error(), "such as 34.50 PLN is") {
		t.Errorf("what is wanted: %v", err)
	}
	for _, c := range []struct {
		x              float64
		currency, want string
	}{{3, "GBP", "£3.00"}, {3, "CHF", value.Money(3, "CHF")}, {-3, "GBP", value.Money(-3, "GBP")}, {0, "EUR", "€0.00"}, {3, "PLN", value.Money(3, "PLN")}} {
		if got := money(c.x, c.currency); got != c.want {
			t.Errorf("%v of %s is %s, want %s", c.x, c.currency, got, c.want)
		}
	}
}

// TestClaimsAsSets: a claim is a set of values; mirroring, moving and inverting it is doing so to each of them, ends included.
func TestClaimsAsSets(t *testing.T) {
	points := []float64{-3, -2, -1.5, -1, -0.5, 0, 0.25, 0.5, 1, 1.5, 2, 3, 4}
	for _, c := range []Claim{{Low: 1, High: 2}, {Low: 1, High: 2, LowOpen: true}, {Low: 1, High: 2, HighOpen: true}, {Low: 0.5, High: math.Inf(1), LowOpen: true}, {Low: math.Inf(-1), High: 2}, {Low: 0, High: 1, HighOpen: true}, {Low: 1.5, High: 1.5}} {
		for _, x := range points {
			in := (x > c.Low || x == c.Low && !c.LowOpen) && (x < c.High || x == c.High && !c.HighOpen)
			if c.Holds(x) != in || c.mirrored().Holds(-x) != in || c.moved(7).Holds(x+7) != in {
				t.Errorf("%+v of %v", c, x)
			}
			if x > 0 && c.inverted().Holds(1/x) != in {
				t.Errorf("%+v of 1/%v", c, x)
			}
		}
	}
	c := Claim{Low: 1, High: 2}
	if c.Holds(math.NaN()) || !c.Holds(2+1e-10) || c.Holds(2+1e-8) || !c.Holds(1-1e-10) || c.Holds(1-1e-8) {
		t.Error("the last binary digits of an end")
	}
	if at := (Claim{Low: 5e6, High: 5e6}); !at.Holds(5e6*(1+1e-13)) || at.Holds(5e6*(1+1e-11)) {
		t.Error("the last binary digits of a single value")
	}
	if open := (Claim{Low: 5, High: math.Inf(1)}); !open.Holds(5-1e-13) || open.Holds(4.999999) || !open.Holds(1e300) {
		t.Error("an end with none on the other side")
	}
}

// TestNamesAlike: the words of a name, whatever stands between them, in capitals or not, as one or many; whole words only.
func TestNamesAlike(t *testing.T) {
	const text = "A second pack, the larger of the two: 20 Ah (LiFePO₄), glass fuses, 2.5 mm²"
	for _, words := range []string{"Second packs", "the larger", "20 Ah", "glass fuse", "2.5 mm²", "larger of two", "LARGER-OF-TWO", "a glass fuse", "two: 20 Ah."} {
		if !named(words, text) {
			t.Errorf("%q is not among the words", words)
		}
	}
	for _, words := range []string{"", "the", "second larger", "econd pack", "glas fuse", "2 mm²", "first pack", "20 Ah glass", "5 mm²", text + " and more"} {
		if named(words, text) {
			t.Errorf("%q is among the words", words)
		}
	}
}

// TestUnboundAsReaders: what a reader takes for a number with a unit or an amount of money, marked here by braces.
func TestUnboundAsReaders(t *testing.T) {
	for _, text := range []string{
		"It opened at {23.1 V} and ran on.", "At {23.1 V}, {8.4 A} and {62 °C}.", "It took {3 h 20 min} in all.", "{Five minutes} later it stood.", "It ran for {two and a half hours}.", "It ran {half an hour} longer.", "About {a quarter of a mile}.", "In {three tenths of a second} it was gone.",
		"It cost {£40}.", "It cost {€ 12.50} and {fifty pounds}.", "A {12-volt} battery.", "A {2.5 mm²} lead.", "We have two packs and three motors.", "It is version 2.0 of 12 May.", "An hour is an hour, and a mile a mile.", "Run 12, 13 and 14.", "The B12 V is a name.", "It takes {3-12 V}.",
		"Ten minutes? {Ten minutes}!", "{1\u202f234 m} of track.", "{½ h} is enough.", "{Two hundred and fifty watts} at most.", "One volt is one volt.", "It stood at 12 in the yard.", "", "7", "{7 V}", "A twenty-odd-year-old.", "{Twenty-odd volts}.", "He said 5 Vs.", "at 5 V-shaped it", "a 5.V", "It ran at 7. V is a letter.",
	} {
		var b strings.Builder
		plain := strings.NewReplacer("{", "", "}", "").Replace(text)
		for i := 0; i < len(plain); {
			if n := numberWithUnit(plain, i); n > 0 {
				b.WriteString("{" + plain[i:i+n] + "}")
				i += n
				continue
			}
			b.WriteByte(plain[i])
			i++
		}
		got, want := b.String(), text
		if strings.HasPrefix(text, "Ten minutes?") {
			want = "{Ten minutes}? {Ten minutes}!"
		}
		got = strings.ReplaceAll(got, "{3 h} {20 min}", "{3 h 20 min}") // joined where they are reported
		if got != want {
			t.Errorf("marked %s, want %s", got, want)
		}
	}
	for text, want := range map[string][]string{"One. Two. Three": {"One. ", "Two. ", "Three"}, "1.5 V? Yes! No.": {"1.5 V? ", "Yes! ", "No."}, "": nil, "a": {"a"}, "a.": {"a."}, ". b": {". ", "b"}} {
		var got []string
		for from := 0; from < len(text); {
			to := sentenceEnd(text, from)
			got, from = append(got, text[from:to]), to
		}
		if !slices.Equal(got, want) {
			t.Errorf("the sentences of %q are %q", text, got)
		}
	}
	if listed([]string{"a"}) != "a" || listed([]string{"a", "b"}) != "a and b" || listed([]string{"a", "b", "c"}) != "a, b and c" || listed(nil) != "" {
		t.Error("a list is not written as one")
	}
}

// laidOut writes a journal to a folder of its own.
func laidOut(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	if files["journal.yaml"] == "" {
		files["journal.yaml"] = "title: A journal\nmaker: {name: A test}\n"
	}
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// onDisk reads a journal from a folder, with what its readings measure.
func onDisk(t *testing.T, files map[string]string) (*journal.Journal, []finding.Finding) {
	t.Helper()
	dir := laidOut(t, files)
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { folder.Close() })
	var list finding.List
	j := journal.Load(folder, &list)
	Judge(value.New(j, nil), &list)
	found := list.Sorted()
	return j, append(found, Unbound(j)...)
}

// What is bound to a value that there is none of is told once, as the journal tells it.
func TestBoundToNothing(t *testing.T) {
	_, found := onDisk(t, map[string]string{"cart/vehicle.md": "---\nkind: vehicle\nname: A cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: The first\ndate: 2026-01-02\nmasses: {vehicle: 41 kg}\n---\n\nIt weighs [41 kg](value:masses.vehicel), as [](source:leaf) says.\n"})
	var said []string
	for _, f := range found {
		if f.Rule == journal.RuleUnknownTarget {
			said = append(said, f.Text+" "+f.Remedy)
		}
	}
	if len(said) != 2 || !strings.Contains(said[0]+said[1], "masses.vehicel") || !strings.Contains(said[0]+said[1], "`leaf`") {
		t.Errorf("%q", said)
	}
}

// TestJudgedOnDisk: each rule of the package from a folder, and beside it the twin in which it says nothing.
func TestJudgedOnDisk(t *testing.T) {
	words := func(n int) string { return strings.TrimSpace("Word " + strings.Repeat("word ", n-1)) }
	question := func(body string) map[string]string {
		return map[string]string{"questions/how.md": "---\nkind: question\ntitle: How?\n---\n\n" + body + "\n"}
	}
	version := func(body string) map[string]string {
		return map[string]string{"cart/vehicle.md": "---\nkind: vehicle\nname: A cart\n---\n",
			"cart/1-first/version.md": "---\nkind: version\nname: The first\ndate: 2026-01-02\nmasses: {vehicle: 41 kg}\n---\n\n" + body + "\n"}
	}
	source := func(body string) map[string]string {
		files := version(body)
		files["journal.yaml"] = "title: A journal\nmaker: {name: A test}\nsources:\n  - {key: leaflet, title: A leaflet, says: charge at no more than 3 A}\n  - {key: book, title: A book}\n"
		return files
	}
	with := func(files map[string]string, name, text string) map[string]string { files[name] = text; return files }
	correction := "---\nkind: correction\ntitle: It is so\ndate: 2026-02-03\nsaid: {in: cart/1-first, words: It is always safe.}\nfound: By looking.\nsince: 2026-01-02\nmatters-for-safety: %s\nkeep-struck: yes\n---\n\nIt is not safe at all.\n"
	for _, c := range []struct {
		name  string
		files map[string]string
		rule  string // of what is said, "" for nothing
		says  []string
	}{
		{"twenty words", question(words(19) + " end. " + words(5) + "."), "", nil}, {"twenty-one words", question(words(20) + " end."), "answer-form", []string{"has 21 words, more than 20"}},
		{"sixty words", question(strings.Repeat(words(15)+". ", 4)), "", nil}, {"sixty-one words", question(strings.Repeat(words(15)+". ", 4) + "End."), "answer-form", []string{"has 61 words, more than 60"}},
		{"no answer", question("- a list"), "answer-form", []string{"has no answer"}},
		{"true", version("It weighs [41 kg](value:masses.vehicle)."), "", nil}, {"false", version("It weighs [42 kg](value:masses.vehicle)."), "false-statement", []string{"says 42 kg", "is 41 kg", "write 41 kg", "where it is stated"}},
		{"without words", version("It weighs [](value:masses.vehicle)."), "", nil}, {"not to be read", version("It weighs [quite a lot](value:masses.vehicle)."), "statement-not-judged", []string{"such as 41 kg"}},
		{"not to be read, with its ±", map[string]string{"cart/vehicle.md": "---\nkind: vehicle\nname: A cart\n---\n", "cart/1-first/version.md": "---\nkind: version\nname: The first\ndate: 2026-01-02\nmasses: {vehicle: 41 kg ± 1 kg}\n---\n\nIt weighs [quite a lot](value:masses.vehicle).\n"}, "statement-not-judged", []string{"such as 41 kg, or"}},
		{"quoted", source("It is charged at [no more than 3 A](source:leaflet)."), "", nil}, {"misquoted", source("It is charged at [no more than 4 A](source:leaflet)."), "source-words", []string{"says no more than 4 A", "what the source says"}},
		{"quotes nothing", source("As [](source:leaflet) says."), "source-words", []string{"nothing is quoted"}}, {"quotes what says nothing", source("It is [as it is](source:book)."), "", nil},
		{"taken back", with(version("It is always safe. So we thought."), "corrections/2026-02-03-safe.md", fmt.Sprintf(correction, "yes")), "safety-words-taken-back", []string{`not so: "It is always safe."`, "It is not safe at all."}},
		{"taken back, of no weight", with(version("It is always safe. So we thought."), "corrections/2026-02-03-safe.md", fmt.Sprintf(correction, "no")), "", nil},
		{"false after a correction", with(version("It is always safe. It weighs [42 kg](value:masses.vehicle)."), "corrections/2026-02-03-safe.md", fmt.Sprintf(correction, "no")), "false-statement", []string{"the correction of 2026-02-03 concerns cart/1-first"}},
		{"a comparison that is false after a correction of the other", with(with(version("It is always safe."), "cart/2-second/version.md", "---\nkind: version\nname: The second\ndate: 2026-01-20\nmasses: {vehicle: 45 kg}\n---\n\nIt is [2 kg heavier](value:masses.vehicle/less/1-first/masses.vehicle).\n"), "corrections/2026-02-03-safe.md", fmt.Sprintf(correction, "no")), "false-statement", []string{"is 4 kg", "write 4 kg heavier", "the correction of 2026-02-03 concerns cart/1-first"}},
		{"two unbound", version("It weighs 41 kg and ran for 3 h."), "unbound-number", []string{"carries 41 kg and 3 h, which rest on nothing"}},
		{"from a source that there is none of", source("It is charged at [no more than 4 A](source:leaf)."), "", nil},
		{"unbound", version("It weighs 41 kg, with 20 kg on it and 3 h 20 min behind it. It is red."), "unbound-number", []string{"carries 41 kg, 20 kg and 3 h 20 min, which rest on nothing"}}, {"one unbound", version("It weighs 41 kg."), "unbound-number", []string{"carries 41 kg, which rests on nothing"}},
		{"one unbound, in two parts", version("It ran 3 h 20 min."), "unbound-number", []string{"carries 3 h 20 min, which rests on nothing"}}, {"two sentences", version("It weighs 41 kg. It ran 3 h."), "unbound-number unbound-number", []string{"carries 41 kg, which", "carries 3 h, which"}},
		{"a name", version("It is [the first](value:name)."), "", nil}, {"another name", version("It is [the second](value:name)."), "false-statement", []string{"says the second"}}, {"a date", version("Made on [2 January 2026](value:date)."), "", nil}, {"another date", version("Made in [February 2026](value:date)."), "false-statement", []string{"says February 2026"}},
	} {
		_, found := onDisk(t, c.files)
		var rules, said []string
		for _, f := range found {
			if !slices.ContainsFunc(Docs(), func(d finding.Doc) bool { return d.Name == f.Rule }) {
				continue // another package's
			}
			rules = append(rules, f.Rule)
			said = append(said, f.Text, f.Remedy)
			for _, r := range f.Related {
				said = append(said, r.Text)
			}
		}
		if got := strings.Join(rules, " "); got != c.rule {
			t.Errorf("%s: %q, want %q: %q", c.name, got, c.rule, said)
		}
		for _, s := range c.says {
			if !strings.Contains(strings.Join(said, "\n"), s) {
				t.Errorf("%s: nothing of %q is said: %q", c.name, s, said)
			}
		}
	}
}
