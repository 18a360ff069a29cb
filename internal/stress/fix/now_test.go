package fix

// must unwraps what fails only when nobody waits any more.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
