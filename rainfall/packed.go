package rainfall

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io"
)

// UnpackedSHA256 returns the SHA-256 of a file's bytes with gzip undone, in
// hexadecimal: the same however the file was packed. Of a plain file it is
// the SHA-256 of the bytes as they are.
func UnpackedSHA256(file string, b []byte) (string, error) {
	if !bytes.HasPrefix(b, []byte(gzipMagic)) {
		sum := sha256.Sum256(b)
		return hex.EncodeToString(sum[:]), nil
	}
	sum := sha256.New()
	z, err := gzip.NewReader(bytes.NewReader(b))
	if err == nil {
		_, err = io.Copy(sum, z)
	}
	if err != nil {
		return "", (&input{file: file}).damaged(err)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
