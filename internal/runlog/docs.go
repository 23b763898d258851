package runlog

import "voltwright/internal/finding"

// Docs documents the rules and formulas of this package.
func Docs() []finding.Doc {
	return append(append(append(readerDocs(), analysisDocs()...), append(opinionDocs(), headDocs()...)...), partDocs()...)
}
