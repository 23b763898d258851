package evidence

import (
	"strings"
	"testing"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	decimal "golang.org/x/text/number"
)

// Oracle: Unicode CLDR, as golang.org/x/text has it.
func TestDecimalCommaIsThatOfTheLanguage(t *testing.T) {
	tags := append(append([]string{"en", "en-GB", "en-US", "ja", "zh", "ko", "he", "th", "de-DE", "de-AT", "fr-BE", "nl-NL", "pt-BR", "sv-SE"}, commaLanguages...), pointRegions...)
	for _, tag := range tags {
		of := tag
		if tag == "no" { // the macrolanguage, whose data are those of Bokmål
			of = "nb"
		}
		printed := message.NewPrinter(language.MustParse(of)).Sprint(decimal.Decimal(1.5))
		if want := strings.Contains(printed, ","); decimalComma(tag) != want {
			t.Errorf("%s: comma %t, and CLDR prints %s", tag, decimalComma(tag), printed)
		}
	}
}

func TestCommaWhereTheLanguageHasIt(t *testing.T) {
	charge := func(comma bool) Subject {
		s := subjectNamed(t, "charge")
		s.Comma = comma
		return s
	}
	price := Subject{Form: Price, Currency: "EUR", Comma: true}
	for _, tt := range []struct {
		words string
		s     Subject
		low   float64 // 0 for refused
	}{
		{"1,24 Ah", charge(true), 1.235}, {"1,24 Ah", charge(false), 1.235}, {"1,24,5 Ah", charge(false), 0}, {"1.24 Ah", charge(true), 1.235},
		{"1.330 Ah", charge(true), 0}, {"1,330 Ah", charge(true), 0}, {"1,330 Ah", charge(false), 1329.5}, {"1.330 Ah", charge(false), 1.3295},
		{"0,330 Ah", charge(true), 0.3295}, {"about 40,5 Ah", charge(true), 36.45},
		{"40,00 €", price, 39.995}, {"34,50 EUR", price, 34.495},
	} {
		c, err := Read(tt.words, tt.s)
		if (err != nil) != (tt.low == 0) || err == nil && (c.Low < tt.low*(1-1e-9) || c.Low > tt.low*(1+1e-9)) {
			t.Errorf("%q, comma %t: from %g (%v), want %g", tt.words, tt.s.Comma, c.Low, err, tt.low)
		}
	}
}
