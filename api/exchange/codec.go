package exchange

import (
	"errors"
	"fmt"

	"github.com/fxamacker/cbor/v2"
	"github.com/klauspost/compress/zstd"
)

// ErrUnreadable is a message or a file that is not one of ours, or damaged.
var ErrUnreadable = errors.New("cannot be read")

// Largest message: compressed, and once it is not.
const (
	MaxMessage = 256 << 10
	maxPlain   = 4 << 20
)

// Codec turns messages into bytes and back: CBOR (RFC 8949), compressed by
// Zstandard (RFC 8878). It is safe for use by many goroutines.
type Codec struct {
	enc  cbor.EncMode
	dec  cbor.DecMode
	zip  *zstd.Encoder
	open *zstd.Decoder
	// large opens files, which may be larger than messages.
	large *zstd.Decoder
}

// NewCodec makes one; it takes a few megabytes, so make it once.
func NewCodec() (*Codec, error) {
	enc, err := cbor.EncOptions{Sort: cbor.SortCoreDeterministic, ShortestFloat: cbor.ShortestFloat16}.EncMode()
	if err != nil {
		return nil, err
	}
	dec, err := cbor.DecOptions{
		DupMapKey: cbor.DupMapKeyEnforcedAPF, MaxNestedLevels: 8, MaxArrayElements: 100_000, MaxMapPairs: 64,
		IndefLength: cbor.IndefLengthForbidden, TagsMd: cbor.TagsForbidden,
	}.DecMode()
	if err != nil {
		return nil, err
	}
	zip, err := zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedBestCompression), zstd.WithEncoderConcurrency(1),
		zstd.WithWindowSize(1<<20), zstd.WithEncoderCRC(false))
	if err != nil {
		return nil, err
	}
	open, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(maxPlain), zstd.WithDecoderMaxWindow(4<<20))
	if err != nil {
		return nil, err
	}
	large, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(8*maxPlain), zstd.WithDecoderMaxWindow(4<<20))
	if err != nil {
		return nil, err
	}
	return &Codec{enc, dec, zip, open, large}, nil
}

// Encode gives the bytes of an Ask or Answer.
func (c *Codec) Encode(v any) ([]byte, error) {
	plain, err := c.enc.Marshal(v)
	if err != nil {
		return nil, err
	}
	return c.zip.EncodeAll(plain, nil), nil
}

// Decode reads what Encode gave. Whatever the bytes, it takes no more than a
// few megabytes; what is not ours is ErrUnreadable.
func (c *Codec) Decode(b []byte, v any) error {
	if len(b) > MaxMessage {
		return fmt.Errorf("message %w: %d bytes, want at most %d", ErrUnreadable, len(b), MaxMessage)
	}
	return c.decode(b, v, c.open)
}

func (c *Codec) decode(b []byte, v any, open *zstd.Decoder) error {
	plain, err := open.DecodeAll(b, nil)
	if err != nil {
		return fmt.Errorf("message %w: %w", ErrUnreadable, err)
	}
	if err := c.dec.Unmarshal(plain, v); err != nil {
		return fmt.Errorf("message %w: %w", ErrUnreadable, err)
	}
	return nil
}
