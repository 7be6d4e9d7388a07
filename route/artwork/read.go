package artwork

// Read reads an artwork file.
func Read(src []byte, file string, o Options) (*Layer, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	return newReader(src, file, o).read()
}
