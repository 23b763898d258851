package notes

import "testing"

// Sums of money as spreadsheets and makers write them.
func TestPlainDecimal(t *testing.T) {
	for text, want := range map[string]string{
		"34.50": "34.50", "34,50": "34.50", "34": "34", "-3,5": "-3.5", "0,99": "0.99", "1,234.50": "1234.50", "1.234,50": "1234.50", "1 234,50": "1234.50", "1\u202f234,50": "1234.50",
		"1'234.50": "1234.50", "1’234’567,5": "1234567.5", "1,234,567": "1234567", "1.234.567": "1234567", "1 234": "1234", "1.234": "1.234", "12,3456": "12.3456",
		"1,234": "twice", "-999,000": "twice",
		"": "", "34,50 €": "none", "1,23,4": "none", "1,2.3": "none", "1.2,3": "none", "12 34": "none", "1 234 ,5": "none", "four": "none", "3e2": "none", "1.234,567.8": "none",
	} {
		plain, ok, twice := plainDecimal(text)
		got := plain
		if twice {
			got = "twice"
		} else if !ok {
			got = "none"
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}
