//go:build unix

package db

import "golang.org/x/sys/unix"

// freeBytes is what the user may still write in the file system of a folder.
func freeBytes(folder string) (int64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(folder, &s); err != nil {
		return 0, err
	}
	return int64(s.Bavail) * int64(s.Bsize), nil
}
