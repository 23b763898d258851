package numeral

import (
	"math/big"
	"strings"
)

// Money prints an amount of a currency.
func Money(v *big.Rat, currency string) string {
	return strings.TrimSpace(OnPage(Decimal(v)) + " " + currency)
}

// Decimal writes an amount with two decimals, or with as many as it has if those are more.
func Decimal(v *big.Rat) string {
	decimals := 2
	for shifted := new(big.Rat).Mul(v, big.NewRat(100, 1)); !shifted.IsInt() && decimals < 9; decimals++ {
		shifted.Mul(shifted, big.NewRat(10, 1))
	}
	return v.FloatString(decimals)
}

// Amount is money as a number of one of the three kinds.
func Amount(text string, k Kind, href string) Numeral {
	return Numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}
