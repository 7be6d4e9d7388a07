package artwork

import "example.org/pinstack/tooling"

type reader struct{ file string }

func newReader(_ []byte, file string, _ Options) *reader { return &reader{file: file} }

func (r *reader) read() (*Layer, error) {
	return nil, &ReadError{Source: tooling.Source{File: r.file}, Err: ErrUnsupported}
}

type maker struct{ file string }

func newMaker(l *Layer, _ ProfileOptions) *maker { return &maker{file: l.File} }

func (m *maker) make() (*Profile, error) {
	return nil, &ReadError{Source: tooling.Source{File: m.file}, Err: ErrNoProfile}
}
