package archive

import "voltwright/internal/finding"

// The rules of findings about a bag.
const (
	ruleDeclaration = "bag-declaration"
	ruleManifest    = "bag-manifest"
	ruleMissing     = "bag-missing"
	ruleUnlisted    = "bag-unlisted"
	ruleAltered     = "bag-altered"
	ruleInfo        = "bag-info"
)

const rfc = "RFC 8493 (The BagIt File Packaging Format, version 1.0, 2018), section "

// Docs documents the rules by which a bag is checked.
func Docs() []finding.Doc {
	rule := func(level finding.Level, name, title, what, why, source string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Level: level, Name: name, Title: title, What: what, Why: why, Source: source}
	}
	return []finding.Doc{
		rule(finding.Error, ruleDeclaration, "No bag, or not one that can be checked",
			"Looks for the file bagit.txt with its two lines, the folder data, and a manifest of what is in it whose checksums are known.",
			"Without these a folder is no bag, and nothing can be said of what it holds.", rfc+"2.1"),
		rule(finding.Error, ruleManifest, "A manifest that cannot be taken at its word",
			"Looks at each line of the manifests: a checksum of the right length and a path that stays inside the bag, each path once, and the same files in every manifest of a kind.",
			"A path that leads out of the bag would have a file read that does not belong to it, and two manifests that differ cannot both be right.", rfc+"2.1.3, 2.2.1 and 5.1"),
		rule(finding.Error, ruleMissing, "A file of a bag is missing",
			"Looks for every file that a manifest lists.", "The bag is not complete.", rfc+"3"),
		rule(finding.Error, ruleUnlisted, "A file in a bag that no manifest lists",
			"Looks for files under data/ that a manifest does not list (an error), and for files beside it that no tag manifest lists (a warning).",
			"It was put there after the bag was made, or the manifests were cut; nothing tells whether it is sound.", rfc+"3"),
		rule(finding.Error, ruleAltered, "A file of a bag was altered",
			"Computes the checksums of every file and compares them with those in the manifests.",
			"The file is not what it was when the bag was made: it was changed, or the disk or a copy damaged it.", rfc+"3"),
		rule(finding.Error, ruleInfo, "What a bag says of itself is not so",
			"Reads bag-info.txt line by line and compares Payload-Oxum, the number of bytes and of files under data/, with what is there.",
			"It is the quickest sign that something is missing, and it does not need the manifests.", rfc+"2.2.2"),
	}
}
