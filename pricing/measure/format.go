package measure

import "strconv"

// Format writes q for people, exactly, and so that ParsePack reads it back:
// "500 g", "1.5 kg", "330 ml", "12".
func (q Quantity) Format(u Unit) string {
	small := map[Unit]string{Kilogram: "g", Litre: "ml"}[u]
	if small != "" && q > -One && q < One && q != 0 {
		return q.decimal(One/1000) + " " + small
	}
	if u == Each {
		return q.decimal(One)
	}
	return q.decimal(One) + " " + string(u)
}

// decimal is q in multiples of unit, a power of ten, as short as it is exact.
func (q Quantity) decimal(unit Quantity) string {
	sign := ""
	if q < 0 {
		sign, q = "-", -q
	}
	whole := sign + strconv.FormatInt(int64(q/unit), 10)
	if q%unit == 0 {
		return whole
	}
	frac := strconv.FormatInt(int64(unit+q%unit), 10)[1:] // the leading 1 keeps the zeros
	for frac[len(frac)-1] == '0' {
		frac = frac[:len(frac)-1]
	}
	return whole + "." + frac
}
