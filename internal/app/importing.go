package app

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// MaxImport is the largest file, in bytes, that a person may send; the operator's files are not bounded here.
const MaxImport = 5 << 20

// ImportFile imports a file for a club that the caller leads: a dry run first, all or nothing, repeatable without doubles.
func (a *App) ImportFile(ctx context.Context, c Call, cmd ImportFile) (ImportReport, error) {
	s, region, err := a.scope(ctx, c, access.ImportWrite)
	if err != nil {
		return ImportReport{}, err
	}
	if s, err = s.InClub(cmd.ClubID); err != nil {
		return ImportReport{}, err
	}
	if !cmd.DryRun && cmd.IdempotencyKey == "" {
		return ImportReport{}, domain.Invalid("idempotency_key_missing", "An import that is to be stored needs an Idempotency-Key, so that sending it again is harmless.",
			domain.FieldError{Pointer: "/header/Idempotency-Key", Detail: "missing"})
	}
	content, err := io.ReadAll(io.LimitReader(cmd.Content, MaxImport+1))
	if err != nil {
		return ImportReport{}, err
	}
	if len(content) > MaxImport {
		return ImportReport{}, domain.Invalid("file_too_large", "This file is larger than 5 MiB. Split it and import the parts.")
	}
	return a.importContent(ctx, s, region, cmd, content)
}

// ImportAsOperator imports a file into a region from the machine itself. Without a club, the file's own club names count, and
// clubs and squads that are not there yet are made.
func (a *App) ImportAsOperator(ctx context.Context, region domain.ID, cmd ImportFile) (ImportReport, error) {
	r, err := a.region(ctx, region)
	if err != nil {
		return ImportReport{}, err
	}
	content, err := io.ReadAll(cmd.Content)
	if err != nil {
		return ImportReport{}, err
	}
	return a.importContent(ctx, access.Operator(region, a.today(r)), r, cmd, content)
}

// errRollBack ends a transaction whose effect is not wanted: a dry run, or a file with bad rows.
var errRollBack = errors.New("not to be stored")

func (a *App) importContent(ctx context.Context, s access.Scope, r domain.Region, cmd ImportFile, content []byte) (ImportReport, error) {
	rep := ImportReport{Kind: cmd.Kind, FileName: cmd.FileName, DryRun: cmd.DryRun}
	parsed, faults := parseImport(cmd, content)
	if len(faults) > 0 {
		rep.Errors = importErrors(faults)
		return rep, nil
	}
	print := fingerprint(cmd, content)
	err := a.store.InRegion(ctx, s, func(tx Tx) error {
		if done, err := a.answered(ctx, tx, s, cmd, print, &rep); err != nil || done {
			return err
		}
		im := &importing{app: a, tx: tx, s: s, region: r, cmd: cmd, at: a.clock.Now(), rep: ImportReport{Kind: cmd.Kind, FileName: cmd.FileName, DryRun: cmd.DryRun}}
		if err := im.run(ctx, parsed); err != nil {
			return err
		}
		im.rep.Errors = importErrors(im.faults)
		im.rep.Accepted = len(im.faults) == 0
		rep = im.rep
		if !rep.Accepted || rep.DryRun {
			return errRollBack
		}
		err := a.trail(ctx, tx, s, "imported", string(cmd.Kind), "", map[string]string{"rows": fmt.Sprint(rep.Rows), "created": fmt.Sprint(rep.Created), "changed": fmt.Sprint(rep.Changed)})
		if err != nil {
			return err
		}
		return a.keepAnswer(ctx, tx, s, cmd, print, rep)
	})
	if errors.Is(err, errRollBack) {
		err = nil
	}
	return rep, err
}

// fingerprint tells one import request from another under the same Idempotency-Key.
func fingerprint(cmd ImportFile, content []byte) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s\x00%s\x00%s\x00", cmd.Kind, cmd.ClubID, cmd.FileName)
	_, _ = h.Write(content)
	return hex.EncodeToString(h.Sum(nil))
}

func (a *App) answered(ctx context.Context, tx Tx, s access.Scope, cmd ImportFile, print string, rep *ImportReport) (bool, error) {
	if cmd.DryRun || cmd.IdempotencyKey == "" || s.Account() == "" {
		return false, nil
	}
	was, answer, ok, err := tx.Answered(ctx, s, cmd.IdempotencyKey)
	if err != nil || !ok {
		return false, err
	}
	if was != print {
		return false, domain.RuleBroken("idempotency_key_reused", "This Idempotency-Key was used for another file. Use a new one.")
	}
	return true, json.Unmarshal(answer, rep)
}

func (a *App) keepAnswer(ctx context.Context, tx Tx, s access.Scope, cmd ImportFile, print string, rep ImportReport) error {
	if cmd.IdempotencyKey == "" || s.Account() == "" {
		return nil
	}
	answer, err := json.Marshal(rep)
	if err != nil {
		return err
	}
	return tx.KeepAnswer(ctx, s, cmd.IdempotencyKey, print, answer, a.clock.Now())
}

// parsedImport is a file's rows; one of the slices is set.
type parsedImport struct {
	players []exchange.Player
	outings []exchange.OutingRow
	overs   []exchange.OverRow
	match   exchange.Match
}

func parseImport(cmd ImportFile, content []byte) (p parsedImport, faults []exchange.LineError) {
	r := bytes.NewReader(content)
	switch cmd.Kind {
	case ImportPlayers:
		p.players, faults = exchange.ReadPlayers(cmd.FileName, r)
	case ImportOutings:
		p.outings, faults = exchange.ReadOutings(cmd.FileName, r)
	case ImportOvers:
		p.overs, faults = exchange.ReadOvers(cmd.FileName, r)
	case ImportMatch:
		p.match, faults = exchange.ReadMatch(cmd.FileName, r)
	}
	return p, faults
}

func importErrors(faults []exchange.LineError) []ImportError {
	out := make([]ImportError, 0, len(faults))
	for _, f := range faults {
		out = append(out, ImportError{File: f.File, Line: f.Line, Column: f.Column, Value: f.Value, Reason: f.Reason})
	}
	return out
}

// importing is one import in one transaction.
type importing struct {
	app    *App
	tx     Tx
	s      access.Scope
	region domain.Region
	cmd    ImportFile
	at     time.Time
	rep    ImportReport
	faults []exchange.LineError

	ids    int
	season domain.Season
	clubs  map[string]domain.Club // by lower-case name and short name
}

// id makes ids that grow in the order of the file, because the matches of one date count in the order of their ids.
func (im *importing) id() domain.ID {
	im.ids++
	return domain.NewID(im.at.Add(time.Duration(im.ids) * time.Millisecond))
}

func (im *importing) fault(line int, column, value, reason string) {
	im.faults = append(im.faults, exchange.LineError{File: im.cmd.FileName, Line: line, Column: column, Value: value, Reason: reason})
}

func (im *importing) note(format string, args ...any) {
	im.rep.Notes = append(im.rep.Notes, fmt.Sprintf(format, args...))
}

func (im *importing) run(ctx context.Context, p parsedImport) error {
	if err := im.places(ctx); err != nil {
		return err
	}
	switch im.cmd.Kind {
	case ImportPlayers:
		return im.players(ctx, p.players)
	case ImportOutings:
		return im.outings(ctx, p.outings)
	case ImportOvers:
		return im.overs(ctx, p.overs, nil)
	case ImportMatch:
		return im.match(ctx, &p.match)
	}
	return domain.Invalid("import_kind", "There is no such kind of import. Use players, outings, overs or match.")
}
