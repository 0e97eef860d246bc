-- +goose Up

-- What is global: who may sign in, and which regions there are. Nothing here says anything about a child.

CREATE TABLE account (
    id            uuid        NOT NULL,
    email         text        NOT NULL COLLATE "C",
    display_name  text        NOT NULL,
    password_hash text        NOT NULL,
    failed_in_row integer     NOT NULL,
    wait_until    timestamptz,
    closed        boolean     NOT NULL,
    created_at    timestamptz NOT NULL,
    CONSTRAINT account_pk PRIMARY KEY (id),
    CONSTRAINT account_email_once UNIQUE (email),
    CONSTRAINT account_email_ok CHECK (length(email) BETWEEN 3 AND 254 AND email = lower(email)),
    CONSTRAINT account_display_name_ok CHECK (length(display_name) BETWEEN 1 AND 200),
    CONSTRAINT account_password_hash_ok CHECK (length(password_hash) <= 500),
    CONSTRAINT account_failed_in_row_ok CHECK (failed_in_row >= 0)
);

CREATE TABLE login (
    id           uuid        NOT NULL,
    account_id   uuid        NOT NULL,
    created_at   timestamptz NOT NULL,
    last_used_at timestamptz,
    expires_at   timestamptz NOT NULL,
    ended_at     timestamptz,
    end_reason   text        NOT NULL,
    CONSTRAINT login_pk PRIMARY KEY (id),
    CONSTRAINT login_account_fk FOREIGN KEY (account_id) REFERENCES account (id),
    CONSTRAINT login_end_reason_ok CHECK (length(end_reason) <= 40)
);
CREATE INDEX login_by_account ON login (account_id);

CREATE TABLE refresh_token (
    hash       text        NOT NULL COLLATE "C",
    login_id   uuid        NOT NULL,
    issued_at  timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    used_at    timestamptz,
    next_hash  text        NOT NULL COLLATE "C",
    next_seal  text        NOT NULL,
    CONSTRAINT refresh_token_pk PRIMARY KEY (hash),
    CONSTRAINT refresh_token_login_fk FOREIGN KEY (login_id) REFERENCES login (id),
    CONSTRAINT refresh_token_hash_ok CHECK (length(hash) BETWEEN 1 AND 200 AND length(next_hash) <= 200),
    CONSTRAINT refresh_token_next_seal_ok CHECK (length(next_seal) <= 1000)
);
CREATE INDEX refresh_token_by_login ON refresh_token (login_id);

CREATE TABLE region (
    id                 uuid        NOT NULL,
    name               text        NOT NULL,
    time_zone          text        NOT NULL,
    season_start_month integer     NOT NULL,
    season_start_day   integer     NOT NULL,
    demo               boolean     NOT NULL,
    created_at         timestamptz NOT NULL,
    version            integer     NOT NULL,
    CONSTRAINT region_pk PRIMARY KEY (id),
    CONSTRAINT region_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT region_time_zone_ok CHECK (length(time_zone) BETWEEN 1 AND 64),
    CONSTRAINT region_season_start_ok CHECK (season_start_month BETWEEN 1 AND 12 AND season_start_day BETWEEN 1 AND 31),
    CONSTRAINT region_version_ok CHECK (version >= 1)
);

CREATE TABLE account_region (
    account_id uuid NOT NULL,
    region_id  uuid NOT NULL,
    CONSTRAINT account_region_pk PRIMARY KEY (account_id, region_id),
    CONSTRAINT account_region_account_fk FOREIGN KEY (account_id) REFERENCES account (id),
    CONSTRAINT account_region_region_fk FOREIGN KEY (region_id) REFERENCES region (id)
);

-- What belongs to a region. The region leads every key, so that no key of one region can meet or show one of another.

CREATE TABLE season (
    region_id uuid    NOT NULL,
    id        uuid    NOT NULL,
    name      text    NOT NULL,
    first_day date    NOT NULL,
    last_day  date    NOT NULL,
    version   integer NOT NULL,
    CONSTRAINT season_pk PRIMARY KEY (region_id, id),
    CONSTRAINT season_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT season_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT season_days_ok CHECK (last_day >= first_day),
    CONSTRAINT season_version_ok CHECK (version >= 1)
);
CREATE INDEX season_by_day ON season (region_id, first_day, id);

CREATE TABLE adoption (
    region_id uuid    NOT NULL,
    id        uuid    NOT NULL,
    limit_set text    NOT NULL COLLATE "C",
    from_day  date    NOT NULL,
    to_day    date,
    settings  text,
    version   integer NOT NULL,
    CONSTRAINT adoption_pk PRIMARY KEY (region_id, id),
    CONSTRAINT adoption_once UNIQUE (region_id, limit_set, from_day),
    CONSTRAINT adoption_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT adoption_limit_set_ok CHECK (length(limit_set) BETWEEN 1 AND 64),
    CONSTRAINT adoption_days_ok CHECK (to_day >= from_day),
    CONSTRAINT adoption_settings_ok CHECK (length(settings) <= 10000),
    CONSTRAINT adoption_version_ok CHECK (version >= 1)
);

CREATE TABLE club (
    region_id   uuid    NOT NULL,
    id          uuid    NOT NULL,
    name        text    NOT NULL,
    name_search text    NOT NULL COLLATE "C",
    short_name  text    NOT NULL,
    version     integer NOT NULL,
    CONSTRAINT club_pk PRIMARY KEY (region_id, id),
    CONSTRAINT club_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT club_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT club_short_name_ok CHECK (length(short_name) <= 60),
    CONSTRAINT club_version_ok CHECK (version >= 1)
);
CREATE INDEX club_by_name ON club (region_id, name_search, id);

CREATE TABLE squad (
    region_id   uuid    NOT NULL,
    id          uuid    NOT NULL,
    club_id     uuid    NOT NULL,
    season_id   uuid    NOT NULL,
    name        text    NOT NULL,
    name_search text    NOT NULL COLLATE "C",
    age_group   text    NOT NULL,
    version     integer NOT NULL,
    CONSTRAINT squad_pk PRIMARY KEY (region_id, id),
    CONSTRAINT squad_of_club UNIQUE (region_id, club_id, id),
    CONSTRAINT squad_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT squad_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season (region_id, id),
    CONSTRAINT squad_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT squad_age_group_ok CHECK (length(age_group) <= 20),
    CONSTRAINT squad_version_ok CHECK (version >= 1)
);
CREATE INDEX squad_by_name ON squad (region_id, name_search, id);
CREATE INDEX squad_by_season ON squad (region_id, season_id);

CREATE TABLE player (
    region_id   uuid    NOT NULL,
    id          uuid    NOT NULL,
    reference   text    NOT NULL COLLATE "C",
    name        text    NOT NULL,
    name_search text    NOT NULL COLLATE "C",
    born        date,
    sex         text    NOT NULL,
    arm         text    NOT NULL,
    kind        text    NOT NULL,
    since_day   date,
    version     integer NOT NULL,
    CONSTRAINT player_pk PRIMARY KEY (region_id, id),
    CONSTRAINT player_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT player_reference_ok CHECK (length(reference) <= 200),
    CONSTRAINT player_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT player_sex_ok CHECK (sex IN ('', 'f', 'm', 'x')),
    CONSTRAINT player_arm_ok CHECK (arm IN ('', 'right', 'left')),
    CONSTRAINT player_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT player_version_ok CHECK (version >= 1)
);
CREATE UNIQUE INDEX player_reference_once ON player (region_id, reference) WHERE reference <> '';
CREATE INDEX player_by_name ON player (region_id, name_search, id);

CREATE TABLE squad_player (
    region_id uuid NOT NULL,
    squad_id  uuid NOT NULL,
    player_id uuid NOT NULL,
    from_day  date NOT NULL,
    to_day    date,
    CONSTRAINT squad_player_pk PRIMARY KEY (region_id, squad_id, player_id, from_day),
    CONSTRAINT squad_player_squad_fk FOREIGN KEY (region_id, squad_id) REFERENCES squad (region_id, id),
    CONSTRAINT squad_player_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT squad_player_days_ok CHECK (to_day >= from_day)
);
CREATE INDEX squad_player_by_player ON squad_player (region_id, player_id);

CREATE TABLE registration (
    region_id  uuid    NOT NULL,
    id         uuid    NOT NULL,
    player_id  uuid    NOT NULL,
    club_id    uuid    NOT NULL,
    season_id  uuid    NOT NULL,
    first_club boolean NOT NULL,
    from_day   date    NOT NULL,
    to_day     date,
    version    integer NOT NULL,
    CONSTRAINT registration_pk PRIMARY KEY (region_id, id),
    CONSTRAINT registration_once UNIQUE (region_id, player_id, club_id, season_id, from_day),
    CONSTRAINT registration_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT registration_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT registration_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season (region_id, id),
    CONSTRAINT registration_days_ok CHECK (to_day >= from_day),
    CONSTRAINT registration_version_ok CHECK (version >= 1)
);
CREATE INDEX registration_by_club ON registration (region_id, club_id, player_id);
CREATE INDEX registration_by_season ON registration (region_id, season_id);

CREATE TABLE appointment (
    region_id  uuid    NOT NULL,
    id         uuid    NOT NULL,
    account_id uuid    NOT NULL,
    role       text    NOT NULL,
    club_id    uuid,
    squad_id   uuid,
    player_id  uuid,
    from_day   date    NOT NULL,
    to_day     date,
    version    integer NOT NULL,
    CONSTRAINT appointment_pk PRIMARY KEY (region_id, id),
    CONSTRAINT appointment_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT appointment_account_fk FOREIGN KEY (account_id) REFERENCES account (id),
    CONSTRAINT appointment_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT appointment_squad_fk FOREIGN KEY (region_id, club_id, squad_id) REFERENCES squad (region_id, club_id, id),
    CONSTRAINT appointment_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT appointment_role_ok CHECK (role IN ('region_officer', 'club_lead', 'coach', 'guardian')),
    -- A guardian is the only one to stand over a child; only a coach may stand over a squad alone.
    CONSTRAINT appointment_over_ok CHECK (
        (role = 'region_officer' AND club_id IS NULL AND squad_id IS NULL AND player_id IS NULL)
        OR (role = 'club_lead' AND club_id IS NOT NULL AND squad_id IS NULL AND player_id IS NULL)
        OR (role = 'coach' AND club_id IS NOT NULL AND player_id IS NULL)
        OR (role = 'guardian' AND squad_id IS NULL AND player_id IS NOT NULL)),
    CONSTRAINT appointment_days_ok CHECK (to_day >= from_day),
    CONSTRAINT appointment_version_ok CHECK (version >= 1)
);
CREATE INDEX appointment_by_account ON appointment (region_id, account_id);
CREATE INDEX appointment_by_club ON appointment (region_id, club_id);

CREATE TABLE outing (
    region_id     uuid    NOT NULL,
    id            uuid    NOT NULL,
    club_id       uuid    NOT NULL,
    squad_id      uuid,
    kind          text    NOT NULL,
    state         text    NOT NULL,
    day           date    NOT NULL,
    title         text    NOT NULL,
    reference     text    NOT NULL COLLATE "C",
    has_format    boolean NOT NULL,
    overs_a_side  integer NOT NULL,
    bowler_cap    integer NOT NULL,
    balls_in_over text    NOT NULL,
    logged_by     uuid,
    version       integer NOT NULL,
    CONSTRAINT outing_pk PRIMARY KEY (region_id, id),
    CONSTRAINT outing_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT outing_squad_fk FOREIGN KEY (region_id, club_id, squad_id) REFERENCES squad (region_id, club_id, id),
    CONSTRAINT outing_kind_ok CHECK (kind IN ('match', 'nets', 'home', 'school', 'other')),
    CONSTRAINT outing_state_ok CHECK (state IN ('planned', 'held', 'called_off')),
    CONSTRAINT outing_title_ok CHECK (length(title) <= 200),
    CONSTRAINT outing_reference_ok CHECK (length(reference) <= 200),
    CONSTRAINT outing_format_ok CHECK (overs_a_side BETWEEN 0 AND 1000 AND bowler_cap BETWEEN 0 AND 1000
        AND balls_in_over IN ('', 'six_valid', 'six_fixed', 'at_most_7', 'at_most_8', 'five_fixed')),
    CONSTRAINT outing_version_ok CHECK (version >= 1)
);
CREATE UNIQUE INDEX outing_reference_once ON outing (region_id, club_id, reference) WHERE reference <> '';
CREATE INDEX outing_by_day ON outing (region_id, day, id);
CREATE INDEX outing_by_club ON outing (region_id, club_id, day, id);
CREATE INDEX outing_by_squad ON outing (region_id, squad_id, day, id);

CREATE TABLE attendance (
    region_id uuid NOT NULL,
    outing_id uuid NOT NULL,
    player_id uuid NOT NULL,
    present   text NOT NULL,
    CONSTRAINT attendance_pk PRIMARY KEY (region_id, outing_id, player_id),
    CONSTRAINT attendance_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT attendance_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT attendance_present_ok CHECK (present IN ('yes', 'no', 'excused'))
);
CREATE INDEX attendance_by_player ON attendance (region_id, player_id);

CREATE TABLE over_log (
    region_id uuid    NOT NULL,
    id        uuid    NOT NULL,
    outing_id uuid    NOT NULL,
    day       date    NOT NULL,
    innings   integer NOT NULL,
    over_no   integer NOT NULL,
    from_end  text    NOT NULL,
    player_id uuid    NOT NULL,
    kind      text    NOT NULL,
    balls     integer NOT NULL,
    valid     integer NOT NULL,
    break_min integer NOT NULL,
    seq       integer NOT NULL,
    version   integer NOT NULL,
    CONSTRAINT over_log_pk PRIMARY KEY (region_id, id),
    CONSTRAINT over_log_once UNIQUE (region_id, outing_id, innings, over_no, player_id),
    CONSTRAINT over_log_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT over_log_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT over_log_place_ok CHECK (innings BETWEEN 1 AND 100 AND over_no BETWEEN 1 AND 100000 AND seq >= 0),
    CONSTRAINT over_log_from_end_ok CHECK (from_end IN ('', 'A', 'B')),
    CONSTRAINT over_log_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT over_log_balls_ok CHECK (balls BETWEEN 0 AND 1000 AND valid BETWEEN 0 AND balls),
    CONSTRAINT over_log_break_min_ok CHECK (break_min BETWEEN 0 AND 100000),
    CONSTRAINT over_log_version_ok CHECK (version >= 1)
);
CREATE INDEX over_log_by_player ON over_log (region_id, player_id, day);

CREATE TABLE quick_spell (
    region_id  uuid    NOT NULL,
    id         uuid    NOT NULL,
    outing_id  uuid    NOT NULL,
    day        date    NOT NULL,
    innings    integer NOT NULL,
    first_over integer NOT NULL,
    from_end   text    NOT NULL,
    player_id  uuid    NOT NULL,
    kind       text    NOT NULL,
    overs      integer NOT NULL,
    balls      integer NOT NULL,
    valid      integer NOT NULL,
    version    integer NOT NULL,
    CONSTRAINT quick_spell_pk PRIMARY KEY (region_id, id),
    CONSTRAINT quick_spell_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT quick_spell_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT quick_spell_place_ok CHECK (innings BETWEEN 0 AND 100 AND first_over BETWEEN 0 AND 100000),
    CONSTRAINT quick_spell_from_end_ok CHECK (from_end IN ('', 'A', 'B')),
    CONSTRAINT quick_spell_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT quick_spell_balls_ok CHECK (overs BETWEEN 0 AND 1000 AND balls BETWEEN 0 AND 10000 AND valid BETWEEN 0 AND balls),
    CONSTRAINT quick_spell_version_ok CHECK (version >= 1)
);
CREATE INDEX quick_spell_by_outing ON quick_spell (region_id, outing_id);
CREATE INDEX quick_spell_by_player ON quick_spell (region_id, player_id, day);

CREATE TABLE practice (
    region_id uuid    NOT NULL,
    id        uuid    NOT NULL,
    outing_id uuid    NOT NULL,
    player_id uuid    NOT NULL,
    kind      text    NOT NULL,
    balls     integer NOT NULL,
    overs     integer NOT NULL,
    hits      integer NOT NULL,
    trial     text    NOT NULL,
    effort    integer NOT NULL,
    version   integer NOT NULL,
    CONSTRAINT practice_pk PRIMARY KEY (region_id, id),
    CONSTRAINT practice_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT practice_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT practice_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT practice_balls_ok CHECK (balls BETWEEN 0 AND 10000 AND overs BETWEEN 0 AND 1000 AND hits BETWEEN -1 AND 10000),
    CONSTRAINT practice_trial_ok CHECK (length(trial) <= 200),
    CONSTRAINT practice_effort_ok CHECK (effort BETWEEN -1 AND 10),
    CONSTRAINT practice_version_ok CHECK (version >= 1)
);
CREATE INDEX practice_by_outing ON practice (region_id, outing_id);
CREATE INDEX practice_by_player ON practice (region_id, player_id, outing_id);

CREATE TABLE correction (
    region_id    uuid        NOT NULL,
    id           uuid        NOT NULL,
    outing_id    uuid        NOT NULL,
    happened_at  timestamptz NOT NULL,
    by_account   uuid,
    what         text        NOT NULL,
    entry_id     uuid,
    before_entry text,
    after_entry  text,
    reason       text        NOT NULL,
    CONSTRAINT correction_pk PRIMARY KEY (region_id, id),
    CONSTRAINT correction_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT correction_what_ok CHECK (what IN ('over', 'spell', 'practice', 'attendance', 'outing')),
    CONSTRAINT correction_entry_ok CHECK (length(before_entry) <= 100000 AND length(after_entry) <= 100000),
    CONSTRAINT correction_reason_ok CHECK (length(reason) <= 1000)
);
CREATE INDEX correction_by_outing ON correction (region_id, outing_id, happened_at, id);

CREATE TABLE day_load (
    region_id uuid    NOT NULL,
    player_id uuid    NOT NULL,
    day       date    NOT NULL,
    kind      text    NOT NULL COLLATE "C",
    balls     integer NOT NULL,
    valid     integer NOT NULL,
    overs     integer NOT NULL,
    CONSTRAINT day_load_pk PRIMARY KEY (region_id, player_id, day, kind),
    CONSTRAINT day_load_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT day_load_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT day_load_balls_ok CHECK (balls >= 0 AND valid >= 0 AND overs >= 0)
);

CREATE TABLE touched_day (
    region_id uuid    NOT NULL,
    player_id uuid    NOT NULL,
    day       date    NOT NULL,
    touches   integer NOT NULL,
    CONSTRAINT touched_day_pk PRIMARY KEY (region_id, player_id, day),
    CONSTRAINT touched_day_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id)
);

CREATE TABLE notice (
    region_id     uuid    NOT NULL,
    id            uuid    NOT NULL,
    kind          text    NOT NULL,
    player_id     uuid    NOT NULL,
    matter        text    NOT NULL COLLATE "C",
    limit_set     text    NOT NULL,
    limit_name    text    NOT NULL,
    weight        text    NOT NULL,
    first_day     date    NOT NULL,
    last_day      date    NOT NULL,
    opened_on     date    NOT NULL,
    visible_until date    NOT NULL,
    state         text    NOT NULL,
    taken_up_by   uuid,
    taken_up_at   timestamptz,
    end_reason    text    NOT NULL,
    ended_by      uuid,
    ended_at      timestamptz,
    late          boolean NOT NULL,
    version       integer NOT NULL,
    CONSTRAINT notice_pk PRIMARY KEY (region_id, id),
    CONSTRAINT notice_once UNIQUE (region_id, player_id, matter, first_day),
    CONSTRAINT notice_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT notice_kind_ok CHECK (kind IN ('bowled_too_much')),
    CONSTRAINT notice_matter_ok CHECK (length(matter) BETWEEN 1 AND 200 AND length(limit_set) <= 64 AND length(limit_name) <= 64
        AND length(weight) <= 40),
    CONSTRAINT notice_days_ok CHECK (last_day >= first_day),
    CONSTRAINT notice_state_ok CHECK (state IN ('open', 'taken_up', 'ended')),
    CONSTRAINT notice_end_reason_ok CHECK (end_reason IN ('', 'returned', 'moved_club', 'left_game', 'injured_or_resting', 'family',
        'logging_gap', 'adult_decided', 'corrected')),
    CONSTRAINT notice_ended_with_reason CHECK ((state = 'ended') = (end_reason <> '')),
    CONSTRAINT notice_version_ok CHECK (version >= 1)
);
CREATE INDEX notice_by_last_day ON notice (region_id, last_day, id);

CREATE TABLE notice_fact (
    region_id uuid    NOT NULL,
    id        uuid    NOT NULL,
    notice_id uuid    NOT NULL,
    player_id uuid    NOT NULL,
    fact_key  text    NOT NULL COLLATE "C",
    day       date    NOT NULL,
    outing_id uuid,
    innings   integer NOT NULL,
    over_no   integer NOT NULL,
    allowed   integer NOT NULL,
    actual    integer NOT NULL,
    earliest  integer NOT NULL,
    age_group text    NOT NULL,
    says      text    NOT NULL,
    source    text    NOT NULL,
    late      boolean NOT NULL,
    withdrawn boolean NOT NULL,
    CONSTRAINT notice_fact_pk PRIMARY KEY (region_id, id),
    CONSTRAINT notice_fact_once UNIQUE (region_id, player_id, fact_key),
    CONSTRAINT notice_fact_notice_fk FOREIGN KEY (region_id, notice_id) REFERENCES notice (region_id, id),
    CONSTRAINT notice_fact_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT notice_fact_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT notice_fact_key_ok CHECK (length(fact_key) BETWEEN 1 AND 400),
    CONSTRAINT notice_fact_figures_ok CHECK (innings >= 0 AND over_no >= 0 AND allowed >= -1 AND actual >= 0 AND earliest >= 0),
    CONSTRAINT notice_fact_words_ok CHECK (length(age_group) <= 20 AND length(says) <= 2000 AND length(source) <= 500)
);
CREATE INDEX notice_fact_by_notice ON notice_fact (region_id, notice_id);

CREATE TABLE job_done (
    region_id  uuid        NOT NULL,
    job        text        NOT NULL COLLATE "C",
    local_date date        NOT NULL,
    fence      bigint      NOT NULL,
    done_at    timestamptz NOT NULL,
    CONSTRAINT job_done_pk PRIMARY KEY (region_id, job, local_date),
    CONSTRAINT job_done_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT job_done_job_ok CHECK (length(job) BETWEEN 1 AND 64)
);

CREATE TABLE job_lease (
    region_id  uuid        NOT NULL,
    job        text        NOT NULL COLLATE "C",
    holder     text        NOT NULL,
    expires_at timestamptz NOT NULL,
    fence      bigint      NOT NULL,
    CONSTRAINT job_lease_pk PRIMARY KEY (region_id, job),
    CONSTRAINT job_lease_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT job_lease_job_ok CHECK (length(job) BETWEEN 1 AND 64),
    CONSTRAINT job_lease_holder_ok CHECK (length(holder) <= 200),
    CONSTRAINT job_lease_fence_ok CHECK (fence >= 1)
);

CREATE TABLE audit (
    region_id   uuid        NOT NULL,
    id          uuid        NOT NULL,
    happened_at timestamptz NOT NULL,
    account_id  uuid,
    role        text        NOT NULL,
    action      text        NOT NULL,
    what        text        NOT NULL,
    entry_id    uuid,
    detail      text,
    CONSTRAINT audit_pk PRIMARY KEY (region_id, id),
    CONSTRAINT audit_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT audit_words_ok CHECK (length(role) <= 40 AND length(action) BETWEEN 1 AND 100 AND length(what) <= 100),
    CONSTRAINT audit_detail_ok CHECK (length(detail) <= 10000)
);
CREATE INDEX audit_by_time ON audit (region_id, happened_at, id);

CREATE TABLE answered_request (
    region_id   uuid        NOT NULL,
    account_id  uuid        NOT NULL,
    request_key text        NOT NULL COLLATE "C",
    fingerprint text        NOT NULL,
    answer      bytea       NOT NULL,
    answered_at timestamptz NOT NULL,
    CONSTRAINT answered_request_pk PRIMARY KEY (region_id, account_id, request_key),
    CONSTRAINT answered_request_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT answered_request_key_ok CHECK (length(request_key) BETWEEN 1 AND 200 AND length(fingerprint) <= 200)
);

-- The database's own wall. A policy looks at the row and at a setting of the transaction, never at another table; where
-- the setting is missing, or empty because an earlier transaction of the connection had it, no row is seen.

-- +goose StatementBegin
DO $$
DECLARE
    name text;
BEGIN
    FOREACH name IN ARRAY ARRAY['season', 'adoption', 'club', 'squad', 'player', 'squad_player', 'registration', 'appointment',
        'outing', 'attendance', 'over_log', 'quick_spell', 'practice', 'correction', 'day_load', 'touched_day', 'notice',
        'notice_fact', 'job_done', 'job_lease', 'audit', 'answered_request']
    LOOP
        EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', name);
        EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', name);
        EXECUTE format('CREATE POLICY %I ON %I'
            ' USING (region_id = (SELECT NULLIF(current_setting(''app.region'', true), '''')::uuid))'
            ' WITH CHECK (region_id = (SELECT NULLIF(current_setting(''app.region'', true), '''')::uuid))',
            name || '_region', name);
    END LOOP;
END
$$;
-- +goose StatementEnd

REVOKE ALL ON ALL TABLES IN SCHEMA public FROM PUBLIC;
