package notes

import "strings"

// unclosed is where a YAML text opens something that is not closed, or not with its like.
type unclosed struct {
	at           int // offset of what opens it
	text, remedy string
}

// findUnclosed finds the first quote or bracket that is not closed where it was meant to be. A YAML reader notices only
// further on, where what follows makes no sense; the maker's slip is here. It is asked about texts that are no YAML: what
// it goes by is how notes are written, and a text that is YAML may look like a slip to it.
//
// A quote is held to be open if it is never closed, or if its closing quote has a text right behind it: that one was meant
// to open the next. A bracket is, if a line stands as far to the left as the one that opened it, or if another kind of
// bracket comes in its place.
func findUnclosed(raw string) (unclosed, bool) {
	type bracket struct{ at, indent int }
	var open []bracket
	bracketOpen := func() (unclosed, bool) {
		b := open[len(open)-1]
		if raw[b.at] == '{' {
			return unclosed{b.at, "this { is not closed", "close it with }, with commas between the keys."}, true
		}
		return unclosed{b.at, "this [ is not closed", "close it with ], with commas between the items."}, true
	}
	indent, begins, block := 0, true, -1 // of the line; whether a value may begin here; what a block of text hangs under
	for i := 0; i < len(raw); i++ {
		if i == 0 || raw[i-1] == '\n' {
			line, _, _ := strings.Cut(raw[i:], "\n")
			words := strings.TrimLeft(line, " ")
			switch {
			case words == "":
				i += len(line)
				continue
			case block >= 0 && len(line)-len(words) > block:
				i += len(line)
				continue
			}
			indent, begins, block = len(line)-len(words), true, -1
			if len(open) > 0 && indent <= open[0].indent && !strings.ContainsAny(words[:1], "]}#") {
				return bracketOpen()
			}
			if end := strings.TrimRight(words, " +-0123456789"); len(open) == 0 && (strings.HasSuffix(end, ": |") || strings.HasSuffix(end, ": >") || end == "- |" || end == "- >") {
				block = indent
				i += len(line)
				continue
			}
		}
		c := raw[i]
		next := byte('\n')
		if i+1 < len(raw) {
			next = raw[i+1]
		}
		switch {
		case c == '#' && (i == 0 || strings.IndexByte(" \n", raw[i-1]) >= 0):
			line, _, _ := strings.Cut(raw[i:], "\n")
			i += len(line) - 1
		case begins && (c == '"' || c == '\''):
			end := closingQuote(raw, i)
			if end < 0 || end+1 < len(raw) && strings.IndexByte(" \n,]}:", raw[end+1]) < 0 && strings.Contains(raw[i:end], "\n") {
				return unclosed{i, "this quote is not closed", "close it with the same quote, at the end of the text."}, true
			}
			i, begins = end, false
		case (begins || len(open) > 0) && (c == '[' || c == '{'):
			open, begins = append(open, bracket{i, indent}), true
		case len(open) > 0 && (c == ']' || c == '}'):
			if (raw[open[len(open)-1].at] == '[') != (c == ']') {
				return bracketOpen()
			}
			open, begins = open[:len(open)-1], false
		case len(open) > 0 && c == ',', c == ':' && (next == ' ' || next == '\n'), begins && c == '-' && next == ' ':
			begins = true
		case c != ' ' && c != '\n':
			begins = false
		}
	}
	if len(open) > 0 {
		return bracketOpen()
	}
	return unclosed{}, false
}

// closingQuote is the offset of the quote that closes the one at an offset, -1 for none.
func closingQuote(raw string, at int) int {
	for i := at + 1; i < len(raw); i++ {
		switch {
		case raw[at] == '"' && raw[i] == '\\':
			i++
		case raw[i] != raw[at]:
		case raw[at] == '\'' && i+1 < len(raw) && raw[i+1] == '\'':
			i++
		default:
			return i
		}
	}
	return -1
}
