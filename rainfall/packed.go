package rainfall

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
)

// UnpackedSHA256 returns the SHA-256 of a file's bytes with gzip undone, in
// hexadecimal: the same however the file was packed. Of a plain file it is
// the SHA-256 of the bytes as they are.
func UnpackedSHA256(file string, b []byte) (string, error) {
	in := &input{file: file, raw: b}
	r, err := in.unpacked()
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, r); err != nil {
		return "", in.damaged(err)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
