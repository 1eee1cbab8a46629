package rest

// DecodeStrict is for the fuzz test.
var DecodeStrict = decodeStrict
