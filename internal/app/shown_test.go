package app

import (
	"strings"
	"testing"
)

// What is printed in pieces comes out as if it were printed at once, and nothing of it is obeyed by a terminal.
func TestShown(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"a line\n\tand another – 5 Ω, 電池, 👩‍🔧\n", "a line\n\tand another – 5 Ω, 電池, 👩‍🔧\n"},
		{"a\x1b[2Jb\x07\r\n", `a\u001b[2Jb\u0007\u000d` + "\n"},
		{"a\u202egpj.md \u2066x\u2069 \u200b\ufeff", `a\u202egpj.md \u2066x\u2069 \u200b\ufeff`},
		{"\u009b31m\x7f", `\u009b31m\u007f`},
		{"no \xff UTF-8 \xc3", `no \xff UTF-8 \xc3`},
		{"עברית\u200f, فارسی\u200cها", "עברית\u200f, فارسی\u200cها"},
	} {
		for size := 1; size <= len(c.text); size++ {
			var b strings.Builder
			o := &output{to: &b}
			for rest := []byte(c.text); len(rest) > 0; rest = rest[min(size, len(rest)):] {
				if n, err := o.Write(rest[:min(size, len(rest))]); err != nil || n != min(size, len(rest)) {
					t.Fatalf("wrote %d: %v", n, err)
				}
			}
			o.end()
			if b.String() != c.want {
				t.Errorf("%q in pieces of %d became %q, want %q", c.text, size, b.String(), c.want)
			}
		}
	}
}
