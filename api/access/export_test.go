package access

// EachLeaked gives tests the list.
var EachLeaked = eachLeaked
