package journal

import (
	"fmt"

	"voltwright/internal/finding"
)

// The rules of this package; Docs says what each looks at. An impossible value
// goes under the name that package notes gives it.
const (
	RuleWrongPlace      = "wrong-place"
	RuleMissingNote     = "missing-note"
	RuleFolderName      = "folder-name"
	RuleRepeatedNumber  = "repeated-version-number"
	RuleFollows         = "follows"
	RuleRunNoVersion    = "run-without-version"
	RuleRunBefore       = "run-before-version"
	RuleEvidence        = "run-evidence"
	RuleEmptyReading    = "empty-reading"
	RuleInstrumentTwice = "instrument-twice"
	RuleDigitSize       = "digit-without-size"
	RuleMissingLog      = "missing-log"
	RuleMissingPicture  = "missing-picture"
	RulePictureWords    = "picture-without-words"
	RulePhotoMark       = "photo-mark"
	RuleBrokenLink      = "broken-link"
	RuleUnknownHeading  = "unknown-heading"
	RuleUnknownTarget   = "unknown-target"
	RuleUnusedFile      = "unused-file"
	RuleMalformedWord   = "malformed-word"
	RuleFullVoltage     = "full-voltage"
	RulePartsFile       = "parts-file"
	RulePartsTwice      = "two-parts-lists"
	RulePaysNoLink      = "paid-link-missing"
	RuleWiredAs         = "wired-as-nothing"
	RulePartUntold      = "part-untold"
	RulePartsOutweigh   = "parts-outweigh-vehicle"
	RuleKeyNotForKind   = "key-not-for-kind"
	RuleFormerKey       = "former-key"
	RuleWiringDisagrees = "wiring-disagrees"
	RuleTwoNames        = "two-names"
	RuleWiringLeftOut   = "wiring-left-out"
	RuleBears           = "question-evidence"
	RuleUnanswered      = "question-unanswered"
	RuleTakenBack       = "words-taken-back"
	RuleUnlikely        = "unlikely-value"
	RuleLike            = "like"
	RulePath            = "wiring-path"
)

// Docs documents the rules of this package.
func Docs() []finding.Doc {
	rule := func(level finding.Level, name, title, what, why, example string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Name: name, Level: level, Title: title, What: what, Why: why, Example: example}
	}
	return append([]finding.Doc{
		rule(finding.Error, RuleWrongPlace, "A note in the wrong folder", "Notes whose kind does not belong where they lie: vehicle.md in a vehicle's folder, version.md in a version's, runs beside it, and notes, questions and corrections in folders of those names.", "The place of a note says what it belongs to.", ""),
		rule(finding.Error, RuleMissingNote, "A folder without its note", "Folders of a vehicle without vehicle.md, and folders of a version without version.md.", "", ""),
		rule(finding.Error, RuleFolderName, "A name that makes no address", "Names of vehicle and version folders, and of notes: small letters a to z, digits and single hyphens. A version's begins with its number and a hyphen. Some names are the site's own.", "The names become the addresses of the pages, which must work on every host and stay the same.", "  shunter/2-lifepo4/bench-2026-04-12.md"),
		rule(finding.Error, RuleRepeatedNumber, "Two versions with one number", "The numbers with which the version folders of one vehicle begin.", "The number gives the order of the versions.", ""),
		rule(finding.Error, RuleFollows, "A version that follows no earlier one", "The key `follows`: it names a version of the same vehicle with a lower number.", "What changed is told against the version before.", "  follows: 1-lead-acid"),
		rule(finding.Error, RuleLike, "A version that is like none, or without what was never there", "The keys `like`, `without` and `was`: the version whose spec this one takes over, and the parts, leads and keys of that one that are taken out or replaced here.", "What is taken over is computed with as if it stood in the note; a name with a slip in it would leave in what was meant to go.", "  like: 1-li-ion\n  without: [main fuse]\n  wiring:\n    leads: [{was: \"main:+ to main fuse:in\", to: \"breaker:in\"}]"),
		rule(finding.Error, RulePath, "A path that cannot be followed", "The parts that a path of the wiring goes through: whether each is there, and at which of its terminals the path arrives and goes on.", "A path stands for leads, and a lead ends at two terminals.", "  paths:\n    - {through: [\"main:+\", main fuse, isolator, controller], lengths: [120 mm, 400 mm, 250 mm], colour: red}"),
		rule(finding.Error, RuleRunNoVersion, "A run without a version", "Runs that do not lie beside a version.md.", "A run says something of one version of one vehicle.", ""),
		rule(finding.Warning, RuleRunBefore, "A run older than its version", "Runs dated before the version that they try.", "Either one date is wrong, or the run belongs to the version before.", ""),
		rule(finding.Error, RuleEvidence, "A run without evidence, or with two kinds", "Each run has exactly one of log, readings and stopwatch.", "", ""),
		rule(finding.Warning, RuleEmptyReading, "A reading without a value", "Readings that have a time and no value.", "", ""),
		rule(finding.Error, RuleInstrumentTwice, "Two instruments for one thing", "Instruments of one run that measure the same.", "Which of the two accuracies holds cannot be told.", ""),
		rule(finding.Error, RuleDigitSize, "Accuracy in digits without a resolution", "Instruments whose accuracy counts digits, and whose resolution is not stated.", "Two digits are 20 mV on one range and 0.2 V on another; without the size of a digit the uncertainty would be told too small.", "  {measures: voltage, accuracy: ±(0.5 % + 2 digits), resolution: 0.01 V}"),
		rule(finding.Error, RuleMissingLog, "A log that is not there", "The file that a run's log names, from the run's own folder.", "", ""),
		rule(finding.Error, RuleMissingPicture, "A picture that is not there, or that is not shown", "Pictures in a note's text and under `lead` and `gallery`: whether the file is there, and is a JPEG, PNG, GIF or WebP. Newer forms of photos and films are named with what to do.", "", ""),
		rule(finding.Error, RulePictureWords, "A picture without words", "Pictures in a note's text: whether the brackets say what is seen. `lead` and `gallery` need their `alt`.", "Who does not see the picture, or for whom it does not load, has the words alone.", "  ![four clamps with ferrules](clamps.jpg)"),
		rule(finding.Error, RulePhotoMark, "A mark on a photo that marks nothing", "Marks: whether the note opens with a photo, the place lies on it, and the part is one of the wiring's.", "A number on a photo must be the number of a part.", "  marks: [{at: 46 % 30 %, part: first fuse}]"),
		rule(finding.Error, RuleBrokenLink, "A link that leads nowhere", "Links in a note's text to other notes and files of the journal.", "", ""),
		rule(finding.Warning, RuleUnknownHeading, "A link to a heading that is not there", "Links with a # to a heading of a note.", "The page opens, but at its top.", ""),
		rule(finding.Error, RuleUnknownTarget, "A value, plot, table, diagram or source that is not there", "What stands after `value:`, `plot:`, `table:`, `diagram:` and `source:`. Within a version's notes a run is named by its file's name; a run of another version by VERSION/RUN, of another vehicle by VEHICLE/VERSION/RUN. A value ends in the name of a figure or in the keys of what a note states; `voltwright values` lists them. A source is named by its key under `sources` in journal.yaml. The runs under `taught-by` are looked for as well.", "A number must have its evidence.", "  [47 min](value:field-2/running-time)\n  [23.1 V](value:2-lifepo4/cutout.opens)\n  [no more than 3 A](source:handbook)"),
		rule(finding.Note, RuleUnusedFile, "A file that nothing uses", "Files that no note names. They are not published.", "A file that was meant to be seen may have been left out by a slip.", ""),
		rule(finding.Error, RuleMalformedWord, "A word of the wrong form", "The address (http or https), the language (BCP 47) and currencies (ISO 4217).", "", "  language: en-GB\n  currency: GBP"),
		rule(finding.Error, RuleFullVoltage, "A charge voltage that does not fit the cells", "The key `full` of a pack against its chemistry and its cells in series: not below the nominal voltage, and not more than a tenth above full charge.", "One of the three is wrong, and the cells take harm if it is the charger.", fmt.Sprintf("  {chemistry: lfp, series: 7, capacity: 10 Ah, full: %.1f V}", 7*3.6)),
		rule(finding.Note, RuleFormerKey, "A key that is no longer read", "Keys that an earlier version of the program accepted. The note is read as if they were not there.", "What it said had no bearing on any result, and who wrote it thought that it had. The note says what to write instead.", ""),
		rule(finding.Error, RuleKeyNotForKind, "A key that says nothing of its part", "Keys of a part of the wiring that parts of its kind do not have, such as a coil of a fuse.", "It was meant for another part, or the kind is wrong.", ""),
		rule(finding.Error, RuleWiringDisagrees, "The wiring contradicts the rest of the spec", "Values that a part of the wiring states and that `packs`, `motors`, `cutout` or `controller` state as well, if they are not the same; and blocks whose cells do not make up their pack.", "No value needs to be said twice, and of two that differ one is wrong.", `  parts: [{name: rear, kind: motor}]`),
		rule(finding.Error, RuleTwoNames, "Two names for one thing", "Packs and motors that the wiring calls by another name than `packs` and `motors` do, one pack or motor that is two parts of the wiring, and operating points of one name.", "A part is recognised by its name alone.", `  parts: [{name: block A, kind: pack, of: starter blocks, cells: 6}]`),
		rule(finding.Warning, RuleWiringLeftOut, "A part that the wiring leaves out", "Named packs and motors, the cutout and the speed controller of a version that states its wiring, if no part of the wiring is it.", "What is not in the wiring is neither solved nor judged.", ""),
		rule(finding.Error, RuleBears, "Evidence of a question that is not there", "The versions and runs that a question names under `bears`, and the version under `prediction`.", "An answer is held against what it rests on.", "  bears: [shunter/1-lead-acid, shunter/1-lead-acid/field-1]"),
		rule(finding.Warning, RuleUnanswered, "A question with nothing to answer it", "Questions on which no run bears and for which no prediction is named.", "The page can then say nothing but that nobody knows.", ""),
		rule(finding.Error, RuleTakenBack, "Words of a correction that are not there", "The notes and the words that a correction takes back, the answers that it says were others, and the pages that it touches. The words are looked for as they are read, whatever their line ends and emphasis; every place of the note that has them is marked.", "A correction that does not reach the page that was wrong leaves it wrong.", "  said: {in: notes/2026-02-01-why-a-cutout.md, words: it cannot close by itself}"),
		{Kind: finding.RuleDoc, Name: RuleUnlikely, Level: finding.Note, Title: "A value far from what small vehicles have", What: "Values of the spec and the conditions that lie beyond a range which a model engine and a cart for a dozen people are both well within. It is a note and holds nothing up.", Why: "A slip of the decimal point or of a prefix makes every number that follows wrong by as much, and each of them looks computed.", Source: "common practice, no source", Example: "  capacity: 9600 Ah          # 9600 mAh, or 9.6 Ah"},
	}, partDocs()...)
}
