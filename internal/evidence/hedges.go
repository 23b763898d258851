package evidence

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
)

// hedge is what words around an amount make of what it claims.
type hedge struct {
	name   string
	before []string // words that stand before the amount
	after  []string // words that stand after it
	says   string   // what is claimed of a value, for X the amount written
	claim  func(a amount) Claim
	about  func(c Claim) Claim // of a bound: what it makes of "about X"; nil for what says how near
	dates  bool                // said of dates alone
}

// Shares that the looser hedges claim: a tenth, and where a step of what is
// written is more than that, a fifth at most.
const (
	tenth = 0.1
	fifth = 0.2
)

// hedges is the one table of them. Longer wordings of one hedge or of several
// are tried before shorter ones.
var hedges = []hedge{
	{name: "plain", before: []string{"exactly", "precisely", "only", "just", "a full", "fully", "a mere", "merely", "all of", "bang on", "spot on", "dead on"},
		after: []string{"exactly", "precisely", "flat", "on the dot", "only", "in all", "in total", "all told", "altogether", "under load", "off load", "at rest", "peak", "at the peak", "all up", "full", "each", "apiece"},
		says:  "X less or more half a step of what X is counted in, and no more than a tenth of it",
		claim: func(a amount) Claim { return between(a.value-a.half, a.value+a.half) }},
	{name: "about", before: []string{"about", "around", "roughly", "approximately", "approx.", "approx", "some", "circa", "ca.", "c.", "≈", "~", "close to", "something like", "something around",
		"somewhere around", "somewhere about", "somewhere near", "in the region of", "in the neighbourhood of", "in the vicinity of", "near enough", "more or less", "pretty much", "pretty well", "pretty nearly", "just about", "round about"},
		after: []string{"or so", "or thereabouts", "thereabouts", "give or take", "give or take a bit", "more or less", "near enough", "roughly", "approximately", "approx", "approx."},
		says:  "X less or more a tenth of it, or a whole step of what X is counted in where that is more, and no more than a fifth of it",
		claim: func(a amount) Claim {
			wide := a.near()
			return between(a.value-wide, a.value+wide)
		}},
	{name: "best part", before: []string{"the best part of", "best part of", "the better part of", "the greater part of"},
		says: "below X, by no more than a fifth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value - 2*a.loose(), High: a.value, HighOpen: true}
		}},
	{name: "nearly", before: []string{"nearly", "very nearly", "almost", "just under", "just below", "just less than", "only just under", "just short of", "just shy of", "shy of", "not quite", "a little under", "a little below", "a little less than",
		"a little short of", "a shade under", "a shade below", "a shade less than", "a touch under", "a touch below", "a touch less than", "a hair under", "a hair below", "a whisker under", "a whisker below", "a whisker short of", "a tad under", "a tad less than",
		"a fraction under", "a fraction below", "a bit under", "a bit below", "a bit less than", "a bit short of", "slightly under", "slightly below", "slightly less than", "slightly shorter than", "slightly lower than", "marginally under", "marginally less than",
		"getting on for", "coming up to", "close on", "pushing", "approaching", "nigh on", "well nigh"},
		says: "below X, by no more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value - a.loose(), High: a.value, HighOpen: true}
		}},
	{name: "just over", before: []string{"just over", "only just over", "just above", "just more than", "a little over", "a little above", "a little more than", "a shade over", "a shade above", "a shade more than", "a touch over", "a touch above",
		"a touch more than", "a hair over", "a hair above", "a whisker over", "a whisker above", "a tad over", "a tad more than", "a fraction over", "a fraction above", "a bit over", "a bit above", "a bit more than", "slightly over", "slightly above",
		"slightly more than", "slightly longer than", "slightly higher than", "marginally over", "marginally more than", "a good"},
		after: []string{"and a bit", "plus a bit", "and a little"},
		says:  "above X, by no more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value, High: a.value + a.loose(), LowOpen: true}
		}},
	{name: "odd", after: []string{"odd"},
		says: "above X, by no more than a fifth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value, High: a.value + 2*a.loose(), LowOpen: true}
		}},
	{name: "well over", before: []string{"well over", "well above", "well past", "well beyond", "well in excess of", "far more than", "far over", "much more than", "considerably more than", "significantly more than", "a lot more than", "a good deal more than"},
		says: "above X, by more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value + a.loose(), High: math.Inf(1), LowOpen: true}
		}},
	{name: "well under", before: []string{"well under", "well below", "well short of", "well within", "far less than", "far below", "much less than", "considerably less than", "significantly less than", "a lot less than", "a good deal less than", "nowhere near", "not nearly"},
		says: "below X, by more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: math.Inf(-1), High: a.value - a.loose(), HighOpen: true}
		}},
	{name: "over", before: []string{"more than", "over", "past", "above", "greater than", "longer than", "higher than", "heavier than", "hotter than", "warmer than", "further than", "farther than", "bigger than", "larger than", "stronger than", "dearer than",
		"later than", "upwards of", "in excess of", "beyond", "after", ">"},
		says:  "above X, by however much",
		about: aboutLow,
		claim: func(a amount) Claim { return Claim{Low: a.value, High: math.Inf(1), LowOpen: true} }},
	{name: "under", before: []string{"less than", "fewer than", "under", "below", "shorter than", "lower than", "lighter than", "cooler than", "colder than", "smaller than", "weaker than", "cheaper than", "earlier than", "short of", "before", "within", "inside",
		"not even", "<"},
		says:  "below X, by however much",
		about: aboutHigh,
		claim: func(a amount) Claim { return Claim{Low: math.Inf(-1), High: a.value, HighOpen: true} }},
	{name: "at least", before: []string{"at least", "at the least", "at the very least", "no less than", "not less than", "never less than", "no fewer than", "not fewer than", "never fewer than", "no shorter than", "not shorter than", "no lower than", "not lower than", "never lower than",
		"no lighter than", "no smaller than", "no earlier than", "not earlier than", "not under", "not below", "never under", "never below", "a minimum of", "minimum", "min.", "easily", "≥"},
		after: []string{"or more", "at least", "at the least", "at the very least", "and more", "and up", "upwards", "or over", "or longer", "minimum", "or later"},
		says:  "X or above",
		about: aboutLow,
		claim: func(a amount) Claim { return Claim{Low: a.value, High: math.Inf(1)} }},
	{name: "at most", before: []string{"at most", "at the most", "at the very most", "no more than", "not more than", "never more than", "not over", "not above", "never over", "never above", "no longer than", "not longer than", "never longer than", "no higher than", "not higher than",
		"never higher than", "no heavier than", "not heavier than", "no hotter than", "no further than", "no bigger than", "no larger than", "no dearer than", "no later than", "not later than", "up to", "anything up to", "a maximum of", "maximum", "max.", "max", "as much as", "≤"},
		after: []string{"or less", "or fewer", "or under", "or shorter", "at most", "at the most", "at the very most", "at the outside", "tops", "maximum", "max", "or earlier"},
		says:  "X or below",
		about: aboutHigh,
		claim: func(a amount) Claim { return Claim{Low: math.Inf(-1), High: a.value} }},
	{name: "at least", before: []string{"from", "since"}, after: []string{"on", "onwards", "onward"}, dates: true,
		says:  "X or after, of days",
		claim: func(a amount) Claim { return Claim{Low: a.value, High: math.Inf(1)} }},
	{name: "at most", before: []string{"until", "till", "by"}, dates: true,
		says:  "X or before, of days",
		claim: func(a amount) Claim { return Claim{Low: math.Inf(-1), High: a.value} }},
}

// plainHedge is that of an amount without any hedge.
var plainHedge = &hedges[0]

func between(low, high float64) Claim { return Claim{Low: low, High: high} }

// claimDoc is the explanation of the table, made from it.
var claimDoc = finding.Doc{
	Kind: finding.FormulaDoc, Name: "claimed-interval",
	Title: "What the words of a statement claim",
	What: "The words of a number in prose are read as a reader takes them and claim an interval; the sentence is true if the value lies in it. " +
		"An amount in digits is counted in its last digit: 1.24 Ah in hundredths, 2 h 7 min in minutes. An amount in words is counted in what it names, wholes, halves, " +
		"thirds or quarters (an hour, half an hour, an hour and a half, three quarters of an hour). By itself neither claims more than a tenth either way, so that 1 h is not said of 31 min; about and its like claim a fifth at most. " +
		"A count of things is counted in ones and claims just that number, a day in days, a month in its days. " +
		"From X to Y, between X and Y and X–Y claim from X to Y, both included. X ± Y claims what X does, and of the expanded uncertainty that it is Y " +
		"rounded, or rounded up. A comparison claims the ratio of two values: 40 % faster a ratio of 1.40, a quarter less one of 3/4, half as long again one of 3/2, twice as long one of 2. Of times, faster means the inverse. " +
		"The same claims within a twentieth. Words outside the brackets count where they say how near: about [47 min], [47 min] or so. Of what was measured or computed nearly, just over and bounds count there as well, and a bound leaves the amount itself true; " +
		"of what is stated they may be said of something else. Prepositions (over 3 km, after 47 min, up to 29.4 V) count inside the brackets only. " +
		"A comma parts thousands, or in a journal whose language writes decimals with it, decimals. A temperature on a scale, whose nought is a matter of choice, has no tenth: there two steps stand for it. Nought itself has none either: 0 V claims half a step.",
	Why:     "A sentence is false when a reader who takes it as it is meant would be misled, not when a digit beyond those written is another one.",
	Formula: hedgeTable(),
	Range: "Wordings that stand in this table, in both systems of units. Others are reported as not judged. " +
		"Ambiguous ones are left out on purpose: `1.4 times faster` is refused, since readers take it for 1.4 and for 2.4.",
	Source:  "Rounding to the place written: JCGM 100:2008, 7.2.6. The shares that words claim (half a step, a twentieth, a tenth, a fifth): a convention of our own, no source.",
	Example: "  It ran for [just over an hour](value:field-2026-05-09/running-time), [a third longer](value:field-2026-05-09/running-time/over/1-li-ion/field-2025-05-10/running-time) than before.",
}

// hedgeTable lists what each hedge claims, in lines that are set as written.
func hedgeTable() string {
	var b strings.Builder
	for i, h := range hedges {
		if i > 0 {
			b.WriteByte('\n')
		}
		words := append([]string{}, h.before...)
		for _, w := range h.after {
			words = append(words, "… "+w)
		}
		if i == 0 {
			words = append([]string{"X by itself"}, words...)
		}
		fmt.Fprintf(&b, "  %s:", h.says)
		line := "   "
		for k, w := range words {
			if k < len(words)-1 {
				w += ","
			}
			if len([]rune(line))+1+len([]rune(w)) > 74 {
				b.WriteString("\n" + line)
				line = "   "
			}
			line += " " + w
		}
		b.WriteString("\n" + line)
	}
	return b.String()
}

// compareDoc explains how two values are compared.
var compareDoc = finding.Doc{
	Kind: finding.FormulaDoc, Name: "comparison",
	Title:   "Comparison of two values",
	What:    "The ratio of two values of one dimension, or their difference, each with its uncertainty.",
	Formula: "r = a / b, u²(r) = (u(a)/b)² + (r·u(b)/b)²\nd = a − b, u²(d) = u²(a) + u²(b)",
	Units:   "a and b in one unit; standard uncertainties (k = 1)",
	Range:   "The errors of the two are taken as independent. Where one instrument measured both they are in part the same, and what is stated is too large rather than too small. A value compared with itself is exact.",
	Source:  "JCGM 100:2008, 5.1.2, equation 10; correlation: 5.2.2, equation 16.",
	Example: "  [a third longer](value:3-second-pack/field-2026-04-12/running-time/over/2-lifepo4/field-2025-04-27/running-time)\n  [52 s less](value:field-2026-04-26/running-time/less/1-lead-acid/field-2024-06-02/running-time)",
}
