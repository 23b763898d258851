package proof

import (
	"context"
	"io"
	"net"
	"net/http"
	"time"

	"golang.org/x/net/netutil"
)

// What readers of a server may ask of it at once, so that however many come and however slowly they read, the maker's machine
// has room for its other work. A browser has up to six connections open and one of them listens for prints.
const (
	maxConnections = 256 // more wait in the system's queue
	maxListeners   = 64  // connections that are told of prints
	maxPages       = 16  // pages that are held while somebody reads them
	maxMaking      = 2   // pages that are given their band at once, which takes several times their length

	pieceSize = 64 << 10 // bytes of an answer that are written at a time
)

// patience is how long a reader may take.
type patience struct {
	head  time.Duration // to say what it wants
	piece time.Duration // to take a piece of the answer
	turn  time.Duration // to wait for its turn
	idle  time.Duration // between two wishes
}

var usual = patience{head: 5 * time.Second, piece: 10 * time.Second, turn: 10 * time.Second, idle: time.Minute}

// server serves what the handler gives, to a bounded number of readers.
func (d *Server) server(ctx context.Context, l net.Listener) (*http.Server, net.Listener) {
	if d.patience == (patience{}) {
		d.patience = usual
	}
	d.pages, d.making, d.listeners = make(chan struct{}, maxPages), make(chan struct{}, maxMaking), make(chan struct{}, maxListeners)
	return &http.Server{
		Handler: d.handler(l.Addr()), BaseContext: func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: d.patience.head, ReadTimeout: 2 * d.patience.head, IdleTimeout: d.patience.idle, MaxHeaderBytes: 16 << 10,
	}, netutil.LimitListener(l, maxConnections)
}

// enter waits for a turn to hold a page in memory. False: there was none, and the reader has been told.
func (d *Server) enter(w http.ResponseWriter, r *http.Request) (leave func(), ok bool) {
	wait := time.NewTimer(d.patience.turn)
	defer wait.Stop()
	select {
	case d.pages <- struct{}{}:
		return func() { <-d.pages }, true
	case <-wait.C:
		busy(w)
	case <-r.Context().Done():
	}
	return nil, false
}

func busy(w http.ResponseWriter) {
	w.Header().Set("Retry-After", "5")
	http.Error(w, "Too many ask at once; try again in a few seconds.", http.StatusServiceUnavailable)
}

// until is when a reader has to have taken a piece.
func (d *Server) until() time.Time { return time.Now().Add(d.patience.piece) }

// send writes an answer piece by piece. A reader that does not take a piece in time is left.
func (d *Server) send(w http.ResponseWriter, data io.Reader) {
	answer := http.NewResponseController(w)
	for {
		if err := answer.SetWriteDeadline(d.until()); err != nil {
			return
		}
		n, err := io.CopyN(w, data, pieceSize)
		if err != nil || n < pieceSize {
			return
		}
		if err := answer.Flush(); err != nil { // else what was written waits for the end
			return
		}
	}
}
