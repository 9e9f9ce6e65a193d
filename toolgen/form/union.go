package form

// union is a forest of disjoint sets.
type union []int32

// newUnion returns n sets of one.
func newUnion(n int) union {
	u := make(union, n)
	for i := range u {
		u[i] = int32(i)
	}
	return u
}

// find returns the set's name.
func (u union) find(i int32) int32 {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

// join puts two sets together under the smaller name.
func (u union) join(i, j int32) {
	i, j = u.find(i), u.find(j)
	u[max(i, j)] = min(i, j)
}
