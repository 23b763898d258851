// Package circuit computes what the wiring of a small electric vehicle does and
// judges it: voltages and currents, drops and heat, wire and fuse sizes, what
// stays live, what fits into which clamp, and the list of leads to cut.
//
// A [Circuit] is [Part]s with terminals and [Lead]s between them.
// [Circuit.Check] finds what is written wrong, [Circuit.Solve] finds every
// current at an [OperatingPoint] by modified nodal analysis, [Circuit.Judge]
// gives [Verdict]s, [Circuit.Live] tells what stays connected when a cutout or a
// stop is open, and [Circuit.CutList] lists the leads as they are made up.
// Everything is a plain value that names the part or lead it concerns by index;
// words and places are put to it elsewhere.
//
// Signs and units: volts, amperes, ohms, watts, metres, mm², °C. The current of
// a lead is positive from its From to its To; a pack's is positive on discharge.
//
// A rating, a length or a resistance that is zero is one that was not stated,
// and a verdict that needs it says that it cannot judge. Table values carry
// their source and whether it was read; a verdict inherits the weakest.
//
// What it cannot catch: the minimum bend of a lead and the strain on its ends
// are not judged. Direct current only: no ripple of a controller, no inductance,
// no inrush. Conductors are at the temperature of their surroundings: the heat
// that they make themselves is left out, so that a lead near its ampacity has a
// resistance up to a third higher than is computed. Contact resistances are those stated. A
// controller is its average over a switching period. Relays stand where the
// operating point puts them, whatever their coils say.
package circuit
