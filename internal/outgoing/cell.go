package outgoing

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// A spreadsheet takes a cell that begins with one of these for a formula, which can reach files and the net, unless it is a
// number (OWASP, CSV Injection). One quotation mark before it makes it text there; WriteCSV puts it, ReadCell takes it away.
const formulaSigns = "=+-@\t\r\n＝＋－＠"

const textMark = "'"

// SafeCell is a cell that opens as what it reads, in a spreadsheet as well.
func SafeCell(text string) string {
	if takenForFormula(strings.TrimLeft(text, textMark)) && !number(text) {
		return textMark + text
	}
	return text
}

// ReadCell is what SafeCell was given.
func ReadCell(cell string) string {
	if rest, ok := strings.CutPrefix(cell, textMark); ok && takenForFormula(strings.TrimLeft(rest, textMark)) {
		return rest
	}
	return cell
}

func takenForFormula(text string) bool {
	return strings.IndexAny(strings.TrimLeft(text, " \u00a0"), formulaSigns) == 0
}

// number tells whether a cell is a number with nothing behind it, with a decimal point or comma.
func number(text string) bool {
	if strings.Trim(text, "+-0123456789.,eE") != "" {
		return false
	}
	_, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return err == nil
}

// WriteCSV writes rows as a table (RFC 4180) whose cells are safe. The error is the writer's.
func WriteCSV(w io.Writer, rows [][]string) error { return writeTable(w, rows, ',') }

func writeTable(w io.Writer, rows [][]string, comma rune) error {
	out := csv.NewWriter(w)
	out.Comma = comma
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = SafeCell(cell)
		}
		if err := out.Write(safe); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
