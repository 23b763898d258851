package evidence

import (
	"slices"
	"strings"
)

// The languages that write the decimal with a comma, and their regions that do not: Unicode CLDR, held by a test.
var (
	commaLanguages = strings.Fields("be bg ca cs da de el es et eu fi fr gl hr hu hy id is it ka kk lt lv mk nb nl nn no pl pt ro ru sk sl sq sr sv tr uk vi")
	pointRegions   = strings.Fields("de-CH de-LI it-CH es-MX es-US es-419 es-GT es-HN es-NI es-PA es-PE es-PR es-SV es-DO es-CU")
)

// decimalComma says whether a language, as a BCP 47 tag, writes the decimal with a comma.
func decimalComma(tag string) bool {
	language, _, _ := strings.Cut(tag, "-")
	same := func(of string) bool { return strings.EqualFold(of, tag) }
	return slices.Contains(commaLanguages, strings.ToLower(language)) && !slices.ContainsFunc(pointRegions, same)
}
