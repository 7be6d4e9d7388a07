package artwork

// Read reads an artwork file.
func Read(src []byte, file string, o Options) (*Layer, error) {
	return newReader(src, file, o).read()
}
