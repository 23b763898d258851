package site

import (
	"math/big"
	"slices"
	"strings"
)

// sums adds up money by currency, exactly.
type sums struct {
	order  []string // currencies, as they came
	amount map[string]*big.Rat
}

func (m *sums) add(currency string, v *big.Rat) {
	if m.amount == nil {
		m.amount = map[string]*big.Rat{}
	}
	if m.amount[currency] == nil {
		m.amount[currency] = new(big.Rat)
		m.order = append(m.order, currency)
	}
	m.amount[currency].Add(m.amount[currency], v)
}

// less is what stays of m when other is taken from it, by currency, without those that come to nothing.
func (m *sums) less(other *sums) *sums {
	out := &sums{}
	for _, c := range m.order {
		out.add(c, m.amount[c])
	}
	for _, c := range other.order {
		out.add(c, new(big.Rat).Neg(other.amount[c]))
	}
	out.order = slices.DeleteFunc(out.order, func(c string) bool { return out.amount[c].Sign() == 0 })
	return out
}

// money prints an amount with two decimals, or with as many as it has if those are more.
func money(v *big.Rat, currency string) string {
	decimals := 2
	for shifted := new(big.Rat).Mul(v, big.NewRat(100, 1)); !shifted.IsInt() && decimals < 9; decimals++ {
		shifted.Mul(shifted, big.NewRat(10, 1))
	}
	return strings.TrimSpace(onPage(v.FloatString(decimals)) + " " + currency)
}

// moneyChange prints a difference with its sign.
func moneyChange(v *big.Rat, currency string) string {
	if v.Sign() > 0 {
		return "+" + money(v, currency)
	}
	return money(v, currency)
}

// amount is money as a number of one of the three kinds.
func amount(text string, k kind, href string) numeral {
	return numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}
