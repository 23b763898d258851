// Package outgoing knows in which forms a file of a journal may leave it, and cleans it of what nobody asked to publish: where
// a picture was taken, by whom, with what. A form that it does not know how to clean does not leave.
package outgoing
