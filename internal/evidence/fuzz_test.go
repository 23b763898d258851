package evidence

import (
	"math"
	"testing"
	"unicode/utf8"

	"voltwright/internal/quantity"
)

// Whatever is written, the words are refused or claim an interval that is the right way round, and what is said in
// their place is true.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"47 min", "about 1.2 h", "an hour and a half", "three quarters of an hour", "between 40 and 50 minutes", "40–50 min", "half as fast again",
		"nearly 40 % faster", "two and a half times", "(1.24 ± 0.02) Ah", "12 April 2026", "the 12th of April", "£34.50", "thirty-five pounds", "a dozen", "the third version", "2½ h", "no more than", "from", "than", "as  as "} {
		for k := range 9 {
			f.Add(s, k, 17.3)
		}
	}
	subjects := []Subject{{Form: Number, Dimension: quantity.Time}, {Form: Number, Dimension: quantity.Charge}, {Form: Number, Dimension: quantity.Temperature}, {Form: Number, Dimension: quantity.Share},
		{Form: Change, Dimension: quantity.Time}, {Form: Ratio, Dimension: quantity.Time}, {Form: Count}, {Form: Price, Currency: "GBP"}, {Form: Date}}
	f.Fuzz(func(t *testing.T, words string, which int, x float64) {
		s := subjects[((which%len(subjects))+len(subjects))%len(subjects)]
		c, err := Read(words, s)
		if err != nil {
			return
		}
		if math.IsNaN(c.Low) || math.IsNaN(c.High) || c.Low > c.High {
			t.Fatalf("%q claims %g to %g", words, c.Low, c.High)
		}
		if math.IsNaN(x) || math.Abs(x) > 1e9 {
			return
		}
		said := c.Rephrase(x, s)
		if said == "" {
			return
		}
		if again, err := Read(said, s); err != nil || !again.Holds(x) || !utf8.ValidString(said) && utf8.ValidString(words) {
			t.Fatalf("%q said of %g is %q, which is not true (%v)", words, x, said, err)
		}
	})
}
