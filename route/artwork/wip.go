package artwork

import "example.org/pinstack/tooling"

type maker struct{ file string }

func newMaker(l *Layer, _ ProfileOptions) *maker { return &maker{file: l.File} }

func (m *maker) make() (*Profile, error) {
	return nil, &ReadError{Source: tooling.Source{File: m.file}, Err: ErrNoProfile}
}
