// Package archive keeps a version of a vehicle as a bag, and checks bags. A bag is a folder in the layout of RFC 8493
// (The BagIt File Packaging Format, version 1.0): what is kept lies under data/, and beside it manifests with a checksum
// of every file.
//
// The same journal gives the same bytes. Nothing here asks for the time: the date in the bag is that of its newest note.
// A bag is written whole or not at all, and never over anything.
//
// What a check cannot catch: somebody who changes a file and makes all checksums anew. The checksums tell of damage and
// of careless changes; against a forger, keep the checksum of the tag manifest elsewhere.
package archive
