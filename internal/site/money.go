package site

import (
	"math/big"
	"strings"
)

// money prints an amount of a currency.
func money(v *big.Rat, currency string) string {
	return strings.TrimSpace(onPage(decimal(v)) + " " + currency)
}

// decimal writes an amount with two decimals, or with as many as it has if those are more.
func decimal(v *big.Rat) string {
	decimals := 2
	for shifted := new(big.Rat).Mul(v, big.NewRat(100, 1)); !shifted.IsInt() && decimals < 9; decimals++ {
		shifted.Mul(shifted, big.NewRat(10, 1))
	}
	return v.FloatString(decimals)
}

// amount is money as a number of one of the three kinds.
func amount(text string, k kind, href string) numeral {
	return numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}
