package runlog

import "voltwright/internal/finding"

// readerDocs documents the rules by which logs are read.
func readerDocs() []finding.Doc {
	const practice = "common practice, no source"
	rule := func(name string, level finding.Level, title, what, why, source string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Name: name, Level: level, Title: title, What: what, Why: why, Source: source}
	}
	return []finding.Doc{
		rule("log-encoding", finding.Error, "A log that is not UTF-8 text",
			"Refuses UTF-16, zip archives (spreadsheets) and files with zero bytes.",
			"Such a file read as text gives wrong numbers or none. Places in it could not be named either.", practice),
		rule("log-empty", finding.Error, "A log without any text", "Reports a file without any text.", "A run cannot rest on it.", practice),
		rule("log-no-rows", finding.Error, "A log without rows of numbers",
			"Reports a file in which no separator (comma, semicolon, tab, blanks, bar) and no decimal sign give rows of numbers.",
			"Nothing can be measured from it.", practice),
		rule("log-unknown-word", finding.Error, "A stated form that the reader does not know",
			"Checks the words by which a note states how its log is written.", "A word that is not understood must not be passed over.", practice),
		rule("log-decimal-open", finding.Error, "A comma that may be either mark",
			"Refuses a log in which each comma could be both and nothing tells.", "Guessing wrong would put every value in the wrong column.", practice),
		rule("log-decimal-assumed", finding.Warning, "A comma taken for the decimal mark",
			"Says so where each comma has three digits behind it and is read as the decimal sign.", "The other reading is a thousand times greater.", "RFC 4180 names no decimal sign; "+practice),
		rule("log-time-form", finding.Error, "A time of unknown form",
			"Refuses a time that is in no known form, or that may be day first or month first, or minutes and seconds or hours and minutes. Years first are read by ISO 8601 and RFC 3339, with or without a zone; without one, the time is taken as it stands, whatever zone the machine is in.",
			"Durations depend on it.", "RFC 3339; ISO 8601 (from memory)"),
		rule("log-no-time", finding.Error, "A log without any time",
			"Looks for a time column by its head, then for a column that only rises, then for an interval such as 1Hz above the data.", "Charge and energy need the time.", practice),
		rule("log-unit-assumed", finding.Warning, "A column without its unit",
			"Says which unit is assumed where the head names none and another one is likely.", "A speed in km/h read as m/s is 3.6 times too great; milliseconds read as seconds are a thousand times too long.", practice),
		rule("log-unknown-column", finding.Error, "A stated column that is not in the log",
			"Looks stated columns up by head, letter case aside, or by number (#2).", "A channel would be missing without a word.", practice),
		rule("log-columns-missing", finding.Warning, "A log without voltage or current",
			"Lists the columns where neither a voltage nor a current, or only one of them, is recognised.", "Most figures need both.", practice),
		rule("log-columns-several", finding.Note, "Several columns for one thing",
			"Says which of several equally well named columns was taken: the first.", "Two voltages may be the pack's and a cell's.", practice),
		rule("log-columns-guessed", finding.Warning, "Columns told by their values alone",
			"Where heads say nothing: if one column is the product of two others in nearly every row (within 3 %; looked for among at most 24 columns), these are power, voltage and current; the current is the factor that is also near zero or negative.",
			"The product is strong evidence, but it is evidence and not a statement.", "P = U·I"),
		rule("log-sign-unknown", finding.Warning, "The sign of a discharge is not known",
			"In order: what is stated; what the head says; steps of at least a fifth of the current's range, with which the voltage must correlate by more than 0.6; the drift of the voltage, at least 0.5 %, while a current of one sign flows. Only the first 256 KiB are looked at. If none tells, positive is assumed.",
			"With the wrong sign a discharge is counted as a charge.", practice),
		rule("log-bad-field", finding.Warning, "A field that is no number",
			"Leaves a row out if one of its fields is neither a number nor empty. Empty fields and the words nan, n/a, null and dashes are holes: the row stays.",
			"A wrong value is worse than a missing row. The first five are shown, the rest counted.", practice),
		rule("log-bad-time", finding.Warning, "A time of another form", "Leaves a row out if its time is not of the form of the others.", "Its place in the run is unknown.", practice),
		rule("log-no-time-in-row", finding.Warning, "A row without its time", "Leaves a row out if its time is empty.", "Its place in the run is unknown.", practice),
		rule("log-short-row", finding.Warning, "A row that ends early", "Leaves a row out that ends before the last column that is read.", "It was cut off while it was written.", practice),
		rule("log-long-row", finding.Warning, "A row with too many fields", "Leaves a row out that has more fields than the head and the usual row.", "Its columns may be shifted.", practice),
		rule("log-open-quote", finding.Warning, "A quote that is not closed", "Leaves a row out if a quoted field does not end within eight lines.", "It would swallow the rows behind it.", "RFC 4180"),
		rule("log-line-too-long", finding.Warning, "A line longer than 64 KiB", "Leaves a longer line out.", "The memory of the reader is bounded.", practice),
		rule("log-head-repeated", finding.Note, "Head rows among the data", "Counts head rows among the data and passes over them.", "The logger was started again without a new file.", practice),
		rule("log-repeated-time", finding.Note, "Rows with the time of the row before",
			"Counts them and keeps them: two rows at one instant are an edge, the value before and the value after a switch.", "Dropping either would lose the edge.", practice),
		rule("log-clock-back", finding.Note, "Small steps back of the clock",
			"A row up to 1 s earlier than the row before is held at that row's time, at most ten rows in a row, and counted.",
			"Loggers that write two sensors, or correct their clock, write rows out of order by that much.", practice),
		rule("log-clock-restart", finding.Warning, "The clock was set back",
			"A greater step back, or more than ten held rows, starts the log's time anew: it runs on from the row before by one interval, and nothing is integrated across.",
			"The time between is unknown.", practice),
		rule("log-midnight", finding.Note, "The clock passes midnight", "A clock without a date that falls by more than twelve hours has passed midnight; a day is added.", "A run may last through the night.", practice),
	}
}
