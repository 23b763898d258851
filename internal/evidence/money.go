package evidence

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/value"
)

// currencies are the ways to write an amount of money, by ISO 4217. A name that
// several currencies have is read as the one that the journal's price is in.
var currencies = map[string]struct{ sign, one, many string }{
	"GBP": {"£", "pound", "pounds"},
	"EUR": {"€", "euro", "euros"},
	"USD": {"$", "dollar", "dollars"},
	"CAD": {"$", "dollar", "dollars"},
	"AUD": {"$", "dollar", "dollars"},
	"NZD": {"$", "dollar", "dollars"},
	"JPY": {"¥", "yen", "yen"},
	"CHF": {"Fr.", "franc", "francs"},
	"SEK": {"kr", "krona", "kronor"},
	"NOK": {"kr", "krone", "kroner"},
	"DKK": {"kr", "krone", "kroner"},
}

// hundredth names the hundredth of a currency: in one, in several, and as a mark behind the number.
var hundredth = map[string][]string{
	"GBP": {"pence", "penny", "p"}, "EUR": {"cents", "cent", "ct", "c"}, "USD": {"cents", "cent", "¢", "c"}, "CAD": {"cents", "cent", "¢"}, "AUD": {"cents", "cent"}, "NZD": {"cents", "cent"},
	"CHF": {"rappen", "centimes", "Rp."}, "SEK": {"öre"}, "NOK": {"øre"}, "DKK": {"øre"},
}

// poundsAndPence is thirty-four pounds fifty, 34 euros 50.
var poundsAndPence = lazily(`^(.+) (pounds?|euros?|dollars?|francs?|quid) (?:and )?([\w-]+)(?: (?:pence|cents?|p))?$`)

// priceOf reads £34.50, 34.50 GBP, GBP 34.50, 35 pounds, thirty-five pounds or fifty pence.
func priceOf(text, currency string) (amount, error) {
	c := currencies[currency]
	if strings.EqualFold(text, "nothing") || strings.EqualFold(text, "free") {
		return amount{write: func(x float64, _ func(float64) float64) string { return money(x, currency) }}, nil
	}
	if m := poundsAndPence().FindStringSubmatch(text); m != nil {
		pounds, err := priceOf(m[1]+" "+m[2], currency)
		tokens := tokensOf(m[3])
		if n, used := wholeWords(tokens); err == nil && used == len(tokens) && n < 100 {
			a := stepped(pounds.value+float64(n)/100, 0.01, false)
			a.write = func(x float64, to func(float64) float64) string { return money(to(x*100)/100, currency) }
			return a, nil
		}
	}
	for _, word := range hundredth[currency] {
		rest, found := strings.CutSuffix(text, strings.TrimSuffix(word, ".")) // the point at the end of the words is gone
		if tokens := tokensOf(rest); found && len(tokens) > 0 {
			if n, used := wholeWords(tokens); used == len(tokens) {
				a := stepped(float64(n)/100, 0.01, false)
				a.write = func(x float64, to func(float64) float64) string { return money(to(x*100)/100, currency) }
				return a, nil
			}
		}
	}
	before, after, number := "", "", text
	for _, sign := range []string{c.sign, currency} {
		if rest, found := strings.CutPrefix(number, sign); found && sign != "" {
			before, number = number[:len(number)-len(rest)], strings.TrimSpace(rest)
			if strings.HasPrefix(rest, " ") {
				before += " "
			}
			break
		}
	}
	names := []string{c.many, c.one, currency, strings.TrimSuffix(c.sign, ".")}
	if currency == "GBP" {
		names = append(names, "quid")
	}
	if before == "" {
		for _, word := range names {
			if rest, found := strings.CutSuffix(number, word); found && word != "" {
				after, number = strings.TrimSpace(number)[len(rest):], strings.TrimSpace(rest)
				if strings.HasSuffix(rest, " ") {
					after = " " + after
				}
				break
			}
		}
	}
	wanted := fmt.Sprintf("an amount of %s such as 34.50 %s is wanted", currency, currency)
	if c.sign != "" {
		wanted = fmt.Sprintf("an amount of %s such as %s34.50 is wanted", currency, c.sign)
	}
	if before == "" && after == "" {
		return amount{}, fmt.Errorf("%q is no amount of %s; %s", text, currency, wanted)
	}
	plain := strings.ReplaceAll(strings.ReplaceAll(number, "\u202f", ""), "\u00a0", "")
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || strings.Trim(plain, "0123456789.") != "" {
		tokens := tokensOf(number)
		n, used := wholeWords(tokens)
		if used == 0 && number == "a" {
			n, used = 1, len(tokens)
		}
		if used == 0 || used != len(tokens) {
			return amount{}, fmt.Errorf("%q is no amount of %s; %s", text, currency, wanted)
		}
		a := stepped(float64(n), 1, false)
		a.write = func(x float64, to func(float64) float64) string {
			n, name := int(to(x)), after
			if n != 1 && strings.TrimSpace(after) == c.one {
				name = " " + c.many
			}
			return before + inWords(n) + name
		}
		return a, nil
	}
	_, fraction, _ := strings.Cut(plain, ".")
	step := math.Pow10(-len(fraction))
	a := stepped(v, step, false)
	a.write = func(x float64, to func(float64) float64) string {
		return before + strconv.FormatFloat(to(x/step*(1+1e-12))*step, 'f', len(fraction), 64) + after
	}
	return a, nil
}

// money writes an amount of a currency with its sign before it, or its code after it.
func money(x float64, currency string) string {
	if c := currencies[currency]; len([]rune(c.sign)) == 1 && x >= 0 {
		return c.sign + strconv.FormatFloat(x, 'f', 2, 64)
	}
	return value.Money(x, currency)
}
