package numeral

import (
	"strings"
	"testing"
)

func TestUnbroken(t *testing.T) {
	for _, want := range []string{
		"13~%, at most 12.5~%", "it ran 2~h 35~min", "(10.43~±~0.23)~Ah of it", "5.1~km/h.", "(24~V)", "at −5~°C, and 3 runs later", "of 2.5~mm² and more",
		"A and B", "version 2 carries it", "", "a Ah", "5",
	} {
		plain := strings.ReplaceAll(want, "~", " ")
		if got := strings.ReplaceAll(Unbroken(plain), noBreak, "~"); got != want {
			t.Errorf("%q: %q, want %q", plain, got, want)
		}
	}
}
