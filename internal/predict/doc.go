// Package predict joins a version's packs to its runs: it calibrates the packs on
// the logs that can teach, checks the calibration on each run that it did not
// see, and answers how long the version runs, how long it charges, what the use
// does to the packs and which input matters most.
//
// Everything goes in and comes out as plain values. [Compute] gives all answers
// for one version, [Prediction]; what cannot be answered has a sentence that says
// why, never a number that is none.
//
// Packs joined in parallel share one voltage and one logger sees only their sum,
// so packs of one chemistry are calibrated as one bank. The bank is computed as
// two like halves side by side, so that half of it and twice of it are whole
// numbers of the same thing.
package predict
