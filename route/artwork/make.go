package artwork

// Profile makes boards and score lines of what the layer draws.
func (l *Layer) Profile(o ProfileOptions) (*Profile, error) {
	return newMaker(l, o).make()
}
