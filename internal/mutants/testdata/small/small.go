// Package small is what the tests of mutants change.
package small

import (
	"embed"
	"errors"
	"io/fs"
	"math"
	"strconv"
	"strings"
)

//go:embed tables/*.csv
var tables embed.FS

var errNegative = errors.New("below nought")

const slack = 1e-9

// Root is the square root of twice a number from nought on.
func Root(x float64) (float64, error) {
	if x < 0 {
		return 0, errNegative
	}
	return math.Sqrt(2 * (x + slack)), nil
}

// Half is half of an even whole number.
func Half(n int) (int, bool) {
	if n&1 == 1 {
		return 0, false
	}
	return n >> 1, true
}

// Nearer says whether x is nearer to nought than y, of which neither is a number in the code.
func Nearer(x, y float64) bool { return 2*x*x < 2*y*y }

// Whole says whether x is one, or so near that only rounding parts it from it.
func Whole(x float64) bool { return x >= 1-1e-9 && x-1 < slack }

// Sum is that of the whole numbers to n.
func Sum(n int) int {
	sum := 0
	for i := 1; i <= n; {
		sum += i
		i++
	}
	return sum
}

// First is the first number of the table.
func First() float64 {
	text, err := fs.ReadFile(tables, "tables/numbers.csv")
	if err != nil {
		panic(err)
	}
	_, row, _ := strings.Cut(string(text), "\n")
	number, _, _ := strings.Cut(row, ",")
	v, _ := strconv.ParseFloat(number, 64)
	return v
}
