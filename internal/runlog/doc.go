// Package runlog reads the logs of runs, whatever dress they come in, and measures them in one pass with bounded memory:
// times in s, charge in Ah, energy in Wh, each with its standard uncertainty (JCGM 100:2008) and with what was left out.
// It takes bytes and plain options, and knows no file, no note and no clock.
package runlog
