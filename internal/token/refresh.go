package token

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
)

// refreshBytes is the length of a refresh token before it is written out: 256 bits.
const refreshBytes = 32

// refreshPurpose keeps the key that seals refresh tokens apart from every other use of the same secret.
const refreshPurpose = "longspell: successor of a refresh token, sealed for its grace, 1"

// NewRefresh makes a refresh token: the plain text for the client (base64url, 43 characters) and the hash to be stored.
func (is *Issuer) NewRefresh() (plain, hash string, err error) {
	b := make([]byte, refreshBytes)
	if _, err := rand.Read(b); err != nil {
		return "", "", fmt.Errorf("token: no randomness: %w", err)
	}
	plain = base64.RawURLEncoding.EncodeToString(b)
	return plain, is.HashRefresh(plain), nil
}

// HashRefresh is what is stored of a refresh token: its SHA-256 in hexadecimal. 256 random bits need no salt and no slow hash.
func (is *Issuer) HashRefresh(plain string) string {
	sum := sha256.Sum256([]byte(plain))
	return hex.EncodeToString(sum[:])
}

// Seal hides a refresh token so that it can lie in the database for the grace period of a lost reply. The first key seals.
func (is *Issuer) Seal(plain string) (string, error) { return is.Sealer(refreshPurpose).Seal(plain) }

// Unseal opens what Seal closed, with any live key. An error means that it was changed, or that its key is gone.
func (is *Issuer) Unseal(sealed string) (string, error) {
	return is.Sealer(refreshPurpose).Unseal(sealed)
}

// Sealer hides short texts from those who carry or keep them; what one purpose sealed another cannot open.
type Sealer struct {
	issuer  *Issuer
	purpose string
}

// Sealer gives the sealer of a purpose, any text that no other use has.
func (is *Issuer) Sealer(purpose string) Sealer { return Sealer{issuer: is, purpose: purpose} }

// Seal hides a text; the same text gives another result each time.
func (s Sealer) Seal(plain string) (string, error) {
	first := s.issuer.first
	aead, err := s.aead(first.Secret)
	if err != nil {
		return "", err
	}
	nonce := make([]byte, aead.NonceSize())
	if _, err := rand.Read(nonce); err != nil {
		return "", fmt.Errorf("token: no randomness: %w", err)
	}
	box := aead.Seal(nonce, nonce, []byte(plain), []byte(first.ID))
	return first.ID + "." + base64.RawURLEncoding.EncodeToString(box), nil
}

// Unseal opens what Seal closed, with any live key. An error means that it was changed, that its key is gone, or that it was
// sealed for another purpose.
func (s Sealer) Unseal(sealed string) (string, error) {
	kid, text, _ := strings.Cut(sealed, ".")
	secret := s.issuer.secrets[kid]
	if secret == nil {
		return "", errors.New("token: sealed with a key that is not live")
	}
	box, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil {
		return "", fmt.Errorf("token: not a sealed text: %w", err)
	}
	aead, err := s.aead(secret)
	if err != nil {
		return "", err
	}
	if len(box) < aead.NonceSize() {
		return "", errors.New("token: not a sealed text: too short")
	}
	plain, err := aead.Open(nil, box[:aead.NonceSize()], box[aead.NonceSize():], []byte(kid))
	if err != nil {
		return "", fmt.Errorf("token: a sealed text was changed: %w", err)
	}
	return string(plain), nil
}

func (s Sealer) aead(secret []byte) (cipher.AEAD, error) {
	key, err := hkdf.Key(sha256.New, secret, nil, s.purpose, 32)
	if err != nil {
		return nil, fmt.Errorf("token: %w", err)
	}
	block, err := aes.NewCipher(key)
	if err != nil {
		return nil, fmt.Errorf("token: %w", err)
	}
	return cipher.NewGCM(block)
}
