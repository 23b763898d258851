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
}

// A tenth is the share that the looser hedges claim.
const tenth = 0.1

// hedges is the one table of them. Longer wordings of one hedge or of several
// are tried before shorter ones.
var hedges = []hedge{
	{name: "plain", before: []string{"exactly", "precisely", "only", "just", "a full", "a mere", "all of"},
		says:  "X less or more half a step of what X is counted in",
		claim: func(a amount) Claim { return between(a.value-a.half, a.value+a.half) }},
	{name: "about", before: []string{"about", "around", "roughly", "approximately", "approx.", "some", "circa", "ca.", "c.", "≈", "~", "close to", "something like", "in the region of"},
		after: []string{"or so", "or thereabouts", "give or take", "more or less"},
		says:  "X less or more a tenth of it, and at least a whole step of what X is counted in",
		claim: func(a amount) Claim {
			wide := math.Max(a.loose(), math.Max(2*a.half, a.least))
			return between(a.value-wide, a.value+wide)
		}},
	{name: "nearly", before: []string{"nearly", "almost", "just under", "just below", "just short of", "not quite", "a little under", "a little less than", "a shade under", "slightly under", "slightly less than"},
		says: "below X, by no more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value - a.loose(), High: a.value, HighOpen: true}
		}},
	{name: "just over", before: []string{"just over", "just above", "a little over", "a little more than", "a shade over", "slightly over", "slightly more than", "a good"},
		after: []string{"and a bit", "odd"},
		says:  "above X, by no more than a tenth of it",
		claim: func(a amount) Claim {
			return Claim{Low: a.value, High: a.value + a.loose(), LowOpen: true}
		}},
	{name: "over", before: []string{"more than", "over", "past", "above", "greater than", "upwards of", "after", ">"},
		says:  "above X, by however much",
		claim: func(a amount) Claim { return Claim{Low: a.value, High: math.Inf(1), LowOpen: true} }},
	{name: "under", before: []string{"less than", "fewer than", "under", "below", "short of", "before", "within", "<"},
		says:  "below X, by however much",
		claim: func(a amount) Claim { return Claim{Low: math.Inf(-1), High: a.value, HighOpen: true} }},
	{name: "at least", before: []string{"at least", "no less than", "not less than", "no fewer than", "not fewer than", "a minimum of", "from", "since", "≥"},
		after: []string{"or more", "at least", "at the least", "and more", "and up", "upwards"},
		says:  "X or above",
		claim: func(a amount) Claim { return Claim{Low: a.value, High: math.Inf(1)} }},
	{name: "at most", before: []string{"at most", "no more than", "not more than", "not over", "up to", "a maximum of", "as much as", "≤"},
		after: []string{"or less", "or fewer", "at most", "at the most"},
		says:  "X or below",
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
		"thirds or quarters (an hour, half an hour, an hour and a half, three quarters of an hour), and half its step is never more than a tenth of it. " +
		"A count of things is counted in ones and claims just that number, a day in days, a month in its days. " +
		"From X to Y, between X and Y and X–Y claim from X to Y, both included. X ± Y claims what X does, and of the expanded uncertainty that it is Y " +
		"rounded, or rounded up. A comparison claims the ratio of two values: 40 % faster a ratio of 1.40, a quarter less one of 3/4, half as long again one of 3/2, twice as long one of 2. Of times, faster means the inverse. " +
		"A temperature on a scale, whose nought is a matter of choice, has no tenth: there two steps stand for it.",
	Why:     "A sentence is false when a reader who takes it as it is meant would be misled, not when a digit beyond those written is another one.",
	Formula: hedgeTable(),
	Range: "Wordings that stand in this table, in both systems of units. Others are reported as not judged. " +
		"Ambiguous ones are left out on purpose: `1.4 times faster` is refused, since readers take it for 1.4 and for 2.4.",
	Source:  "Rounding to the place written: JCGM 100:2008, 7.2.6. The shares that words claim (a tenth, half a step): a convention of our own, no source.",
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

// around takes the hedge off words: the longest that stands before them, or
// after. What is left is the amount.
func around(words string) (h *hedge, prefix, rest, suffix string) {
	lower := strings.ToLower(words)
	best := 0
	for i := range hedges {
		for _, w := range hedges[i].before {
			if len(w) > best && strings.HasPrefix(lower, w) && len(lower) > len(w) && (lower[len(w)] == ' ' || strings.ContainsAny(w, "≈~<>≤≥")) {
				best, h, prefix = len(w), &hedges[i], words[:len(w)]
			}
		}
	}
	if h != nil {
		return h, prefix, strings.TrimSpace(words[best:]), ""
	}
	for i := range hedges {
		for _, w := range hedges[i].after {
			if len(w) > best && strings.HasSuffix(lower, " "+w) {
				best, h, suffix = len(w), &hedges[i], words[len(words)-len(w):]
			}
		}
	}
	if h != nil {
		return h, "", strings.TrimRight(words[:len(words)-best], " ,"), suffix
	}
	return plainHedge, "", words, ""
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
