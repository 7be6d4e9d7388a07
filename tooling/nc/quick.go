package nc

// quickHit reads the commonest block, X and Y of a hit and nothing else,
// without taking it apart. It leaves anything else, mistakes too, to the lexer.
func (it *interp) quickHit(b []byte) bool {
	if len(b) < 2 {
		return false
	}
	p := it.at
	i := 0
	if b[0] == 'X' {
		n, end, ok := parseNumber(b, 1)
		if !ok || n.frac < 0 && !it.sc.known {
			return false
		}
		if p.x, ok = it.sc.nano(n); !ok {
			return false
		}
		p.x += it.zero.x
		i = end
	}
	if i < len(b) && b[i] == 'Y' {
		n, end, ok := parseNumber(b, i+1)
		if !ok || n.frac < 0 && !it.sc.known {
			return false
		}
		if p.y, ok = it.sc.nano(n); !ok {
			return false
		}
		p.y += it.zero.y
		i = end
	}
	if i != len(b) || it.beyond(p) {
		return false
	}
	it.moved, it.putAway = true, false
	it.at = p
	return it.hit() == nil
}
