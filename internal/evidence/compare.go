package evidence

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/quantity"
)

// comparative is a word that says which way a value differs from another.
type comparative struct {
	word, base, other string // longer, long, shorter
	up                bool
	pace              bool // of times it means the inverse: what is faster takes less time
}

var comparatives = []comparative{
	{"longer", "long", "shorter", true, false}, {"shorter", "short", "longer", false, false},
	{"more", "much", "less", true, false}, {"less", "little", "more", false, false},
	{"fewer", "few", "more", false, false},
	{"faster", "fast", "slower", true, true}, {"quicker", "quick", "slower", true, true}, {"slower", "slow", "faster", false, true},
	{"higher", "high", "lower", true, false}, {"lower", "low", "higher", false, false},
	{"heavier", "heavy", "lighter", true, false}, {"lighter", "light", "heavier", false, false},
	{"larger", "large", "smaller", true, false}, {"bigger", "big", "smaller", true, false}, {"greater", "great", "less", true, false},
	{"smaller", "small", "larger", false, false},
	{"further", "far", "less far", true, false}, {"farther", "far", "less far", true, false},
	{"dearer", "dear", "cheaper", true, false}, {"cheaper", "cheap", "dearer", false, false},
	{"warmer", "warm", "cooler", true, false}, {"colder", "cold", "warmer", false, false}, {"hotter", "hot", "cooler", true, false}, {"cooler", "cool", "warmer", false, false},
	{"stronger", "strong", "weaker", true, false}, {"weaker", "weak", "stronger", false, false},
	{"above", "", "below", true, false}, {"below", "", "above", false, false},
	{"later", "late", "earlier", true, false}, {"earlier", "early", "later", false, false},
	{"older", "old", "younger", true, false}, {"younger", "young", "older", false, false},
}

func comparativeOf(word string) (comparative, bool) {
	for _, c := range comparatives {
		if strings.EqualFold(word, c.word) {
			return c, true
		}
	}
	return comparative{}, false
}

// frame is what stands around the amount of a comparison, and what the amount
// is of the ratio or the difference.
type frame struct {
	tail  string                  // " longer", " as long", " as long again"
	other string                  // the tail of the other direction, "" where there is none
	of    func(y float64) float64 // the ratio or difference → the amount
}

// again and the like.
var (
	asAgain   = lazily(`^(?i:(.+?) as (\w+) again)$`)
	asBefore  = lazily(`^(?i:((?:.+ )?as \w+)) as .+$`)
	asMuch    = lazily(`^(?i:(.+?) as (\w+))$`)
	timesBare = lazily(`^(?i:(.+?) ?(?:times|×|x))$`)
	againAs   = lazily(`^(?i:(.+?) again as (\w+))$`)
	fold      = lazily(`^([\w.]+)[- ]?fold$`)
	factorOf  = lazily(`^(?i:(?:a factor of|the factor|factor|×|x) ?(.+?))$`)
	ofThe     = lazily(`^(?i:(.+?) (?:of|the|its|his|her|our|their|what)(?: .*)?)$`)
)

// readRatio reads how one value compares with another: the claim is of the first over the second.
func readRatio(words string, s Subject) (Claim, error) {
	words = turned(compared(words))
	lower := strings.ToLower(words)
	if c, ok := comparativeOf(lower); ok { // longer, by however much
		claim := Claim{Low: 1, High: math.Inf(1), LowOpen: true}
		if c.up == (c.pace && s.Dimension == quantity.Time) {
			claim = Claim{Low: 0, High: 1, HighOpen: true}
		}
		claim.worded = wording{frame: &frame{tail: c.word, other: c.other}}
		return claim, nil
	}
	if rest, found := strings.CutPrefix(lower, "no "); found { // no longer: as long at most
		if c, ok := comparativeOf(rest); ok {
			claim := Claim{Low: math.Inf(-1), High: 1}
			if c.up == (c.pace && s.Dimension == quantity.Time) {
				claim = Claim{Low: 1, High: math.Inf(1)}
			}
			claim.worded = wording{frame: &frame{tail: words, other: c.word}}
			return claim, nil
		}
	}
	if rest, found := strings.CutPrefix(lower, "within "); found { // within 5 %
		if a, err := share(rest); err == nil {
			return between(1-a.value, 1+a.value), nil
		}
	}
	p, err := peel(words, s)
	if err != nil {
		return Claim{}, err
	}
	rest := p.rest
	finish := func(claim Claim, a amount, f *frame) (Claim, error) {
		claim.worded = wording{prefix: p.prefix, suffix: p.suffix, hedge: p.hedge, amount: a, frame: f}
		return claim, nil
	}
	inverse := func(word string) bool {
		return s.Dimension == quantity.Time && (strings.EqualFold(word, "fast") || strings.EqualFold(word, "quick"))
	}
	if again := againOf(rest); again != nil { // half as fast again: 3/2
		a, err := share(again[0])
		if err != nil {
			return Claim{}, err
		}
		claim, of := p.claim(a).moved(1), func(y float64) float64 { return y - 1 }
		if inverse(again[1]) {
			claim, of = claim.inverted(), func(y float64) float64 { return 1/y - 1 }
		}
		return finish(claim, a, &frame{tail: " as " + again[1] + " again", of: of})
	}
	if i := strings.LastIndexByte(rest, ' '); i > 0 {
		if c, ok := comparativeOf(rest[i+1:]); ok {
			return changed(rest[:i], c, p, s, finish)
		}
	}
	tail, factor, of := "", rest, func(y float64) float64 { return y }
	if m := asMuch().FindStringSubmatch(rest); m != nil && m[1] != "just" { // twice as long, 1.4 times as fast, half as much
		tail, factor = " as "+m[2], m[1]
		if inverse(m[2]) {
			of = func(y float64) float64 { return 1 / y }
		}
	}
	a, err := times(factor)
	if err != nil {
		return Claim{}, err
	}
	claim := p.claim(a)
	if tail != "" && of(2) != 2 {
		claim = claim.inverted()
	}
	return finish(claim, a, &frame{tail: tail, of: of})
}

// againOf takes half as much again and half again as much apart: how much, and of what. As much again is once as much more.
func againOf(text string) []string {
	if m := againAs().FindStringSubmatch(text); m != nil {
		return m[1:]
	}
	if rest, found := strings.CutPrefix(text, "as "); found {
		if word, found := strings.CutSuffix(rest, " again"); found {
			return []string{"once", word}
		}
	}
	if m := asAgain().FindStringSubmatch(text); m != nil {
		return m[1:]
	}
	return nil
}

// changed reads 40 % faster, a third longer, a quarter less.
func changed(part string, c comparative, p peeled, s Subject, finish func(Claim, amount, *frame) (Claim, error)) (Claim, error) {
	parts := Subject{Form: Number, Dimension: quantity.Share}
	ranged, isRange, err := rangeOf(part, parts)
	a := ranged.worded.amount
	if !isRange {
		a, err = share(part)
	}
	if err != nil {
		if _, factor := times(part); factor == nil {
			return Claim{}, fmt.Errorf("%q may mean as much again or so many times in all; write it with `as … as`, or in per cent", part+" "+c.word)
		}
		return Claim{}, err
	}
	claim := p.claim(a)
	if isRange {
		claim = ranged
		if p.hedge != plainHedge {
			return Claim{}, fmt.Errorf("%q hedges a range", part+" "+c.word)
		}
	}
	f := &frame{tail: " " + c.word, other: " " + c.other, of: func(y float64) float64 { return y - 1 }}
	if !c.up {
		claim = claim.mirrored()
		f.of = func(y float64) float64 { return 1 - y }
	}
	claim = claim.moved(1)
	if c.pace && s.Dimension == quantity.Time {
		of := f.of
		claim, f.of = claim.inverted(), func(y float64) float64 { return of(1 / y) }
	}
	if claim.High < 0 {
		return Claim{}, fmt.Errorf("%q leaves less than nothing", part+" "+c.word)
	}
	claim.Low = max(claim.Low, 0)
	return finish(claim, a, f)
}

// readChange reads a difference: 1.5 V more, 19 kg lighter, 52 s.
func readChange(words string, s Subject) (Claim, error) {
	words = turned(compared(words))
	d := s
	d.Form = Number
	if s.Currency != "" {
		d.Form = Price
	}
	if rest, found := strings.CutPrefix(words, "within "); found { // either way
		a, err := amountOf(rest, d)
		if err != nil {
			return Claim{}, err
		}
		return between(-math.Abs(a.value), math.Abs(a.value)), nil
	}
	i := strings.LastIndexByte(words, ' ')
	c, ok := comparativeOf(words[i+1:])
	if !ok {
		return readAmount(words, d)
	}
	up := c.up != (c.pace && s.Dimension == quantity.Time)
	if i < 0 {
		claim := Claim{Low: 0, High: math.Inf(1), LowOpen: true}
		if !up {
			claim = claim.mirrored()
		}
		claim.worded = wording{frame: &frame{tail: c.word, other: c.other}}
		return claim, nil
	}
	claim, err := readAmount(words[:i], d)
	if err != nil {
		return claim, err
	}
	f := &frame{tail: " " + c.word, other: " " + c.other, of: func(y float64) float64 { return y }}
	if !up {
		claim = claim.mirrored()
		f.of = func(y float64) float64 { return -y }
	}
	claim.worded.frame = f
	return claim, nil
}

// compared takes off what the sentence compares with: "than before", "as before".
func compared(words string) string {
	lower := strings.ToLower(words)
	if rest, found := strings.CutSuffix(lower, " than"); found { // than what stands outside
		words = words[:len(rest)]
		lower = rest
	}
	if rest, found := strings.CutSuffix(lower, " as"); found && strings.Contains(rest, " as ") {
		words = words[:len(rest)]
		lower = rest
	}
	if i := strings.LastIndex(lower, " than "); i > 0 { // less than 20 V is a hedge, less than before is not
		head := words[:i]
		if earlier().MatchString(lower[i+len(" than "):]) {
			return head
		}
		last := head[strings.LastIndexByte(head, ' ')+1:]
		if _, ok := comparativeOf(last); ok && !isFactor(words[i+len(" than "):]) && (strings.Contains(head, " ") || !slices.Contains([]string{"more", "less", "fewer", "greater"}, strings.ToLower(head))) && !hedgeEnds(head) {
			return head
		}
	}
	if m := asBefore().FindStringSubmatch(words); m != nil && !strings.HasSuffix(lower, " again") && !isFactor(words[len(m[1])+len(" as "):]) {
		return m[1]
	}
	return words
}

// earlier is what a sentence compares with that is no amount.
var earlier = lazily(`^(?:before|ever|last (?:time|year|season|summer|winter))$`)

// sameAs are the words of two values that are alike, and same how far they may lie apart: a convention of our own.
var sameAs = map[string]bool{"the same": true, "same": true, "as much": true, "as long": true, "as far": true, "as fast": true, "as heavy": true, "as high": true, "as low": true, "as large": true, "as big": true, "as many": true,
	"just as much": true, "just as long": true, "just as far": true, "just as fast": true, "just as heavy": true, "just as high": true, "equal": true, "unchanged": true, "no different": true}

const same = tenth / 2

// The ways to turn a comparison about: up by 40 %, 40 % down, a drop of 1.5 V, a 40 % increase, longer by 52 s, another ten minutes.
var (
	upOrDown  = lazily(`^(?i:(up|down)(?: by)? (.+))$`)
	endsUp    = lazily(`^(?i:(.+) (up|down))$`)
	risesOf   = lazily(`^(?i:(?:an? |the )?(rise|gain|increase|growth|jump|drop|fall|loss|decrease|reduction|saving|cut) (?:of|by) (.+))$`)
	risesBy   = lazily(`^(?i:(?:an? )?(.+) (rise|gain|increase|growth|jump|drop|fall|loss|decrease|reduction|saving|cut))$`)
	moreBy    = lazily(`^(?i:(\w+) by (.+))$`)
	extra     = lazily(`^(?i:(?:an extra|an additional|another|a further) (.+))$`)
	extraEnd  = lazily(`^(?i:(.+) (?:extra|on top))$`)
	wordsDown = []string{"down", "drop", "fall", "loss", "decrease", "reduction", "saving", "cut"}
)

// turned brings a comparison to the amount first and what it is of the other value behind.
func turned(words string) string {
	way := func(word string) string {
		if slices.Contains(wordsDown, strings.ToLower(word)) {
			return " less"
		}
		return " more"
	}
	switch m := moreBy().FindStringSubmatch(words); {
	case m == nil:
	default:
		if _, ok := comparativeOf(m[1]); ok {
			return m[2] + " " + m[1]
		}
	}
	if m := upOrDown().FindStringSubmatch(words); m != nil && !strings.HasPrefix(strings.ToLower(m[2]), "to ") {
		return m[2] + way(m[1])
	}
	if m := risesOf().FindStringSubmatch(words); m != nil {
		return m[2] + way(m[1])
	}
	for _, re := range []*regexp.Regexp{endsUp(), risesBy()} {
		if m := re.FindStringSubmatch(words); m != nil && !strings.HasSuffix(strings.ToLower(words), " and up") {
			return m[1] + way(m[2])
		}
	}
	for _, re := range []*regexp.Regexp{extra(), extraEnd()} {
		if m := re.FindStringSubmatch(words); m != nil {
			return m[1] + " more"
		}
	}
	return words
}

// isFactor says whether what stands behind than or as is a factor, of which more is said, and not what is compared with.
func isFactor(text string) bool {
	_, err := times(text)
	return err == nil
}

// hedgeEnds says whether words end in the beginning of a hedge, as "no more" of "no more than" does.
func hedgeEnds(head string) bool {
	lower := strings.ToLower(head)
	for _, w := range []string{"no more", "no less", "not more", "not less", "no fewer", "not fewer", "a little more", "a little less", "slightly more", "slightly less"} {
		if lower == w {
			return true
		}
	}
	return false
}

// share reads a part of a whole: 40 %, a third, three quarters.
func share(text string) (amount, error) {
	if strings.EqualFold(text, "once") { // as much again
		a := stepped(1, 1, false)
		a.half = tenth * 2 // of the whole, which is twice as much
		return a, nil
	}
	a, err := amountOf(text, Subject{Form: Number, Dimension: quantity.Share})
	if err != nil {
		return a, fmt.Errorf("%q is no part that can be compared with; one is written such as 40 %% or a third", text)
	}
	return a, nil
}

// times reads a factor: twice, three times, 1.4 times, half, two thirds of.
func times(text string) (amount, error) {
	lower := strings.ToLower(text)
	if m := factorOf().FindStringSubmatch(text); m != nil { // a factor of 2.5, ×2
		text, lower = m[1]+" times", strings.ToLower(m[1]+" times")
	} else if m := ofThe().FindStringSubmatch(text); m != nil { // half of what it was, twice its weight
		text, lower = m[1], strings.ToLower(m[1])
	}
	word := func(n float64) amount {
		a := stepped(n, 1, false)
		a.write = factorInWords
		return a
	}
	if sameAs[lower] { // within a twentieth, about the same within a tenth
		return amount{value: 1, step: 2 * same, half: same, write: func(x float64, to func(float64) float64) string { return "" }}, nil
	}
	switch lower {
	case "twice", "double", "two times", "doubled", "twofold":
		return word(2), nil
	case "three times", "thrice", "treble", "triple", "trebled", "tripled":
		return word(3), nil
	case "four times", "quadruple", "quadrupled":
		return word(4), nil
	case "halved":
		text = "half"
	}
	if m := fold().FindStringSubmatch(lower); m != nil { // threefold, ten-fold, 2.5-fold
		text = m[1] + " times"
	}
	number := text
	if m := timesBare().FindStringSubmatch(text); m != nil {
		number = m[1]
		if n, used := wholeWords(tokensOf(number)); used > 0 && used == len(tokensOf(number)) && !hasDigit(tokensOf(number)) {
			return word(float64(n)), nil
		}
		if a, ok := timesAndPart(tokensOf(number)); ok {
			return a, nil
		}
	}
	if a, err := digits(number, quantity.Plain); err == nil {
		write := a.write
		tail := text[len(number):]
		a.write = func(x float64, to func(float64) float64) string { return write(x, to) + tail }
		return a, nil
	}
	if a, err := digits(number, quantity.Share); err == nil { // 70 % of
		return a, nil
	}
	if a, ok := inWordsOf(number, quantity.Share); ok {
		return a, nil
	}
	return amount{}, fmt.Errorf("%q is no comparison that can be read; one is written such as 40 %% faster, a third longer, twice as long or half as fast again", text)
}

// timesAndPart reads two and a half (times).
func timesAndPart(tokens []string) (amount, bool) {
	whole, used := wholeWords(tokens)
	if used == 0 || used >= len(tokens) {
		return amount{}, false
	}
	rest := tokens[used:]
	if rest[0] == "and" {
		rest = rest[1:]
	} else if len([]rune(rest[0])) != 1 { // 2½
		return amount{}, false
	}
	num, den, more := fractionWords(rest)
	if more == 0 || more != len(rest) {
		return amount{}, false
	}
	p := pieces{name: "times"}
	n := float64(whole) + float64(num)/float64(den)
	a := stepped(n, 1/float64(den), false)
	a.write = func(x float64, to func(float64) float64) string {
		k := int(to(x * float64(den)))
		switch {
		case k < 2*den:
			return ""
		case k == 2*den:
			return "twice"
		}
		return p.say(k/den, k%den, den)
	}
	return a, true
}

// factorInWords writes twice, three times.
func factorInWords(x float64, to func(float64) float64) string {
	switch n := int(to(x)); {
	case n == 2:
		return "twice"
	case n > 2:
		return inWords(n) + " times"
	default:
		return ""
	}
}
