package nc

import "iter"

// Build writes operations as a program.
func Build(ops iter.Seq[Op], tools []ToolDef, o WriteOptions) (*Program, error) { return nil, ErrWrite }

// Compare reports how the things two programs make differ.
func Compare(a, b *Program, tol float64) ([]Note, error) { return nil, nil }
