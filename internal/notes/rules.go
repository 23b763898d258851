package notes

import (
	"fmt"

	"voltwright/internal/finding"
)

// The rules of this package; Docs says what each looks at.
const (
	RuleUnknownKey      = "unknown-key"
	RuleDuplicateKey    = "duplicate-key"
	RuleMissingKey      = "missing-key"
	RuleEmptyValue      = "empty-value"
	RuleWrongKind       = "wrong-kind"
	RuleMissingUnit     = "missing-unit"
	RuleWrongDimension  = "wrong-dimension"
	RuleNotAQuantity    = "not-a-quantity"
	RuleNotANumber      = "not-a-number"
	RuleNotADate        = "not-a-date"
	RuleUnknownWord     = "unknown-word"
	RuleImpossibleValue = "impossible-value"

	RuleYAMLSyntax    = "yaml-syntax"
	RuleYAMLFeature   = "yaml-feature"
	RuleNoFrontMatter = "no-front-matter"
	RuleFrontFence    = "front-matter-fence"

	RuleNotUTF8         = "not-utf-8"
	RuleTooLarge        = "file-too-large"
	RuleJournalTooLarge = "journal-too-large"
	RuleOutsideJournal  = "outside-journal"
	RuleUnreadable      = "unreadable-file"

	RuleRawHTML       = "raw-html"
	RuleUnsafeLink    = "unsafe-link"
	RuleUnknownScheme = "unknown-scheme"
	RuleForeignImage  = "foreign-picture"
	RuleAbsoluteLink  = "absolute-link"
	RuleEmptyLink     = "empty-link"
	RuleNesting       = "nested-too-deep"
	RuleBoundLine     = "bound-line"
)

// Docs documents the rules of this package.
func Docs() []finding.Doc {
	rule := func(name, title, what, why, example string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Name: name, Level: finding.Error, Title: title, What: what, Why: why, Example: example}
	}
	return []finding.Doc{
		rule(RuleUnknownKey, "A key that the front matter does not know", "Every key of the front matter and of journal.yaml.", "A mistyped key would otherwise be left out without a word, and the page would be computed from a default.", "  cutof: {opens: 22.4 V}     # cutout"),
		rule(RuleDuplicateKey, "A key written twice", "Keys of one group that have the same name.", "Only one of the two values can be meant, and a reader of the file cannot tell which.", ""),
		rule(RuleMissingKey, "A key that is needed", "Groups that lack a key without which they mean nothing.", "A pack without a capacity or a note without a kind cannot be used.", ""),
		rule(RuleEmptyValue, "A key without a value", "Keys with nothing after the colon, `~`, `null` or an empty text.", "Nothing is not zero. A value that is not known is left out.", ""),
		rule(RuleWrongKind, "A value of the wrong shape", "A list where one value belongs, one value where a group of keys belongs, and the like.", "", "  packs: main                # packs is a list of groups"),
		rule(RuleMissingUnit, "A number without a unit", "Plain numbers where a value with a dimension belongs.", "9.6 may be ampere-hours or amperes; the page may not guess.", "  capacity: 9.6              # 9.6 Ah"),
		rule(RuleWrongDimension, "A unit of another dimension", "Values whose unit measures something else than the key.", "", "  capacity: 4 V              # a capacity is a charge: 4 Ah"),
		rule(RuleNotAQuantity, "A value that cannot be read", "Values that are no number with a unit, or have a unit that is not known.", "", "  capacity: ten Ah"),
		rule(RuleNotANumber, "A number that cannot be read", "Counts and prices, which have no unit.", "", "  series: 8S                 # series: 8"),
		rule(RuleNotADate, "A day that the calendar does not have", fmt.Sprintf("Dates, which are written year-month-day (ISO 8601), of the years %d to %d.", firstYear, lastYear), "", "  date: 2026-13-40"),
		rule(RuleUnknownWord, "A word that is not in the list", "Keys that take one word of a fixed list.", "", "  chemistry: lpf             # lfp"),
		rule(RuleImpossibleValue, "A value that cannot be", "Values below absolute zero, negative capacities, settings above 100 %, ranges that are upside down, a cutout that opens above full charge.", "A value that cannot be true makes every number that follows from it untrue.", ""),
		rule(RuleYAMLSyntax, "Front matter that is not YAML", "The block between the two `---` lines, and journal.yaml.", "One slip of the indent can hang a value under another key.", ""),
		rule(RuleYAMLFeature, "YAML beyond what a note needs", "Anchors, aliases, merge keys, tags, directives, keys that are not words, more than one document.", "They make one line depend on another far away. A note says each value where it belongs.", ""),
		rule(RuleNoFrontMatter, "A note without front matter", "Markdown files that do not begin with a `---` line.", "Without `kind:` nothing is known of what the file is.", "  ---\n  kind: note\n  title: Why a cutout\n  ---"),
		rule(RuleFrontFence, "Front matter that does not end", "The `---` lines round the front matter: the closing one is missing, or is indented.", "", ""),
		rule(RuleNotUTF8, "A file that is not UTF-8 text", "Notes and journal.yaml: the first byte that is not UTF-8, or the first control character.", "The text would come out with wrong letters.", ""),
		rule(RuleTooLarge, "A file over the size limit", fmt.Sprintf("Notes over %d MiB or with more than %d lines and marks of Markdown, parts lists of more than %d lines, front matter over %d KiB, files of a theme over %d MiB, pictures over %d MiB, logs and other files over %d MiB.", MaxNote>>20, MaxMarks, MaxParts, MaxFront>>10, MaxTheme>>20, MaxPicture>>20, MaxFile>>20), "A larger file is nearly always the wrong file.", ""),
		rule(RuleJournalTooLarge, "A journal over the size limit", fmt.Sprintf("Journals of more than %d notes, of those %d runs or %d versions, or whose notes hold together more than %d MiB of text, %d MiB of front matter or more than %d lines and marks of Markdown; what versions take over from others and what paths of wiring stand for, written out, has the same bound as front matter once more.", MaxNotes, MaxRuns, MaxVersions, MaxAllText>>20, MaxAllFront>>20, MaxAllMarks), "All notes of a journal stand in memory at once while it is inspected.", ""),
		rule(RuleOutsideJournal, "A path that leads out of the journal", "Names with `..` that climb out of the journal folder, absolute paths, and symbolic links that lead out of it.", "Nothing outside the journal folder is read: what is published is what lies in the folder.", ""),
		rule(RuleUnreadable, "A file that cannot be read", "Files without permission, links that lead nowhere, and things that are no files.", "", ""),
		rule(RuleRawHTML, "HTML in a note", "Tags written in the Markdown. An HTML comment is no tag: it is left out of the page and not reported.", "The page leaves them out, and they would not read well elsewhere.", ""),
		rule(RuleUnsafeLink, "A link that would run or open something", "Links with the schemes javascript, vbscript, data, file and blob.", "", ""),
		rule(RuleUnknownScheme, "A link of an unknown scheme", "Links and pictures whose part before the colon is neither http, https, mailto nor one of value, plot, table, diagram, source.", "A mistyped `value:` would go out as a dead link, and its number unchecked.", "  [47 min](vaule:field-2/running-time)"),
		rule(RuleForeignImage, "A picture from another host", "Pictures with an http or https address.", "No page of the site makes a request that leaves the site.", ""),
		rule(RuleAbsoluteLink, "A link from the root", "Links that begin with `/`.", "Links are relative, so that the site also opens from disk and from any folder of a host.", "  [the barrow](../barrow/vehicle.md)"),
		rule(RuleEmptyLink, "A link without a destination", "Links and pictures with nothing between the round brackets.", "", "  [the barrow]()"),
		rule(RuleBoundLine, "A bound number or figure in a line for lists", "Names, titles, summaries and other lines of the front matter in which a number is bound without words, or which have a figure.", "Such a line stands in lists of pages and in the feed, where nothing is computed beside it.", "  summary: it ran [](value:running-time)     # [47 min](value:running-time)"),
		rule(RuleNesting, "Brackets or lists nested too deep", "Front matter and Markdown nested more than 100 levels deep, and more than 2000 square brackets without an empty line between.", "No note needs it, and reading it takes time without end.", ""),
	}
}
