// Package drivetrain tells how one version drives: how fast it goes at which voltage, setting and payload, what it draws and
// gets hot by, which hill it climbs, how it stops, and what of that its runs bear out.
//
// Everything goes in and comes out as plain values. [Compute] takes an [Input] and gives a [Performance]; what cannot be
// computed has a sentence that says why, and what nobody stated and was taken all the same is listed with its source.
package drivetrain
