package outgoing

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// TextMost is the most bytes of a text or of a table that is no log that are looked through.
const TextMost = 8 << 20

// CleanTable writes a table of delimited text anew, with cells that open as what they read. Commas, semicolons and tabs
// separate, whichever the first line has most of. The error says why it cannot be read.
func CleanTable(data []byte) ([]byte, error) {
	text, err := textOf(data)
	if err != nil {
		return nil, err
	}
	first, _, _ := bytes.Cut(text, []byte("\n"))
	comma := ','
	for _, sign := range []rune{';', '\t'} {
		if strings.Count(string(first), string(sign)) > strings.Count(string(first), string(comma)) {
			comma = sign
		}
	}
	in := csv.NewReader(bytes.NewReader(text))
	in.Comma, in.FieldsPerRecord = comma, -1
	rows, err := in.ReadAll()
	if err != nil {
		return nil, errors.New("it is no table that can be read")
	}
	var out bytes.Buffer
	err = writeTable(&out, rows, comma)
	return out.Bytes(), err
}

// textOf is a text in UTF-8: UTF-16 with its mark is turned into it, and what is neither is read as Latin-1, where every byte is a
// character. The error says why it is no text.
func textOf(data []byte) ([]byte, error) {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		out, _, err := transform.Bytes(unicode.BOMOverride(unicode.UTF8.NewDecoder()), data)
		return out, err
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !plain(data) {
		return nil, errors.New("it holds bytes that no text has")
	}
	if utf8.Valid(data) {
		return data, nil
	}
	out := make([]rune, len(data))
	for i, c := range data {
		out[i] = rune(c)
	}
	return []byte(string(out)), nil
}

// labels are words before a colon or an equals sign behind which a name or a number of somebody's stands.
var labels = lazily(`(?i)(^|[\s,;"#|])(serial(\s*(no|number|nr))?|s/n|sn|seriennummer|serienummer|numéro de série|imei|uuid|user(\s*name)?|login|operator|owner|benutzer(name)?|bediener|besitzer|utilisateur|propriétaire|gebruiker|eigenaar|date of birth|geburtsdatum|geboortedatum|date de naissance)\.?"?\s*[:=,;]\s*"?[\pL\d]`)

// placeHead is a head of a column that says where.
var placeHead = lazily(`(?i)(^|[,;\t"])\s*"?(gps[ _]?)?(lat|latitude|breitengrad|breedtegraad|lon|lng|longitude|längengrad|lengtegraad)[^\pL]*?"?([,;\t"\[(]|$)`)

// Betrays finds the first line of a text that looks to tell of its maker, from 1, and says what it looks to hold; 0 where none
// does.
func Betrays(data []byte) (line int, what string) {
	text, err := textOf(data)
	if err != nil {
		return 1, "what cannot be read (" + err.Error() + ")"
	}
	for k, l := range strings.Split(string(text), "\n") {
		for _, x := range []struct {
			what string
			is   bool
		}{
			{"a position", len(Positions(l)) > 0 || placeHead().MatchString(strings.TrimSpace(l))},
			{"a serial number or a name", labels().MatchString(l) || macAddress().MatchString(l)},
			{"a path of a machine", homePath().MatchString(l)},
			{"an address of mail", mailAddress().MatchString(l)},
		} {
			if x.is {
				return k + 1, x.what
			}
		}
	}
	return 0, ""
}
