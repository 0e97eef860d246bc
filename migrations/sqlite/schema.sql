-- What the migrations in this folder lead to; written by the tests of internal/store, never by hand.

CREATE TABLE account (
    id            text    NOT NULL,
    email         text    NOT NULL,
    display_name  text    NOT NULL,
    password_hash text    NOT NULL,
    failed_in_row integer NOT NULL,
    wait_until    text,
    closed        integer NOT NULL,
    created_at    text    NOT NULL,
    CONSTRAINT account_pk PRIMARY KEY (id),
    CONSTRAINT account_email_once UNIQUE (email),
    CONSTRAINT account_email_ok CHECK (length(email) BETWEEN 3 AND 254 AND email = lower(email)),
    CONSTRAINT account_display_name_ok CHECK (length(display_name) BETWEEN 1 AND 200),
    CONSTRAINT account_password_hash_ok CHECK (length(password_hash) <= 500),
    CONSTRAINT account_failed_in_row_ok CHECK (failed_in_row >= 0),
    CONSTRAINT account_ids_form CHECK (length(id) = 36),
    CONSTRAINT account_times_form CHECK (length(wait_until) = 27 AND length(created_at) = 27),
    CONSTRAINT account_flags_form CHECK (closed IN (0, 1))
) STRICT;

CREATE TABLE account_region (
    account_id text    NOT NULL,
    region_id  text    NOT NULL,
    CONSTRAINT account_region_pk PRIMARY KEY (account_id, region_id),
    CONSTRAINT account_region_account_fk FOREIGN KEY (account_id) REFERENCES account (id),
    CONSTRAINT account_region_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT account_region_ids_form CHECK (length(account_id) = 36 AND length(region_id) = 36)
) STRICT, WITHOUT ROWID;

CREATE TABLE adoption (
    region_id text    NOT NULL,
    id        text    NOT NULL,
    limit_set text    NOT NULL,
    from_day  text    NOT NULL,
    to_day    text,
    settings  text,
    version   integer NOT NULL,
    CONSTRAINT adoption_pk PRIMARY KEY (region_id, id),
    CONSTRAINT adoption_once UNIQUE (region_id, limit_set, from_day),
    CONSTRAINT adoption_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT adoption_limit_set_ok CHECK (length(limit_set) BETWEEN 1 AND 64),
    CONSTRAINT adoption_days_ok CHECK (to_day >= from_day),
    CONSTRAINT adoption_settings_ok CHECK (length(settings) <= 10000),
    CONSTRAINT adoption_version_ok CHECK (version >= 1),
    CONSTRAINT adoption_ids_form CHECK (length(region_id) = 36 AND length(id) = 36),
    CONSTRAINT adoption_days_form CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND to_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE TABLE answered_request (
    region_id   text    NOT NULL,
    account_id  text    NOT NULL,
    request_key text    NOT NULL,
    fingerprint text    NOT NULL,
    answer      blob    NOT NULL,
    answered_at text    NOT NULL,
    CONSTRAINT answered_request_pk PRIMARY KEY (region_id, account_id, request_key),
    CONSTRAINT answered_request_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT answered_request_key_ok CHECK (length(request_key) BETWEEN 1 AND 200 AND length(fingerprint) <= 200),
    CONSTRAINT answered_request_ids_form CHECK (length(region_id) = 36 AND length(account_id) = 36),
    CONSTRAINT answered_request_times_form CHECK (length(answered_at) = 27)
) STRICT;

CREATE TABLE appointment (
    region_id  text    NOT NULL,
    id         text    NOT NULL,
    account_id text    NOT NULL,
    role       text    NOT NULL,
    club_id    text,
    squad_id   text,
    player_id  text,
    from_day   text    NOT NULL,
    to_day     text,
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
    CONSTRAINT appointment_version_ok CHECK (version >= 1),
    CONSTRAINT appointment_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(account_id) = 36 AND length(club_id) = 36
        AND length(squad_id) = 36 AND length(player_id) = 36),
    CONSTRAINT appointment_days_form CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND to_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE INDEX appointment_by_account ON appointment (region_id, account_id);

CREATE INDEX appointment_by_club ON appointment (region_id, club_id);

CREATE TABLE attendance (
    region_id text    NOT NULL,
    outing_id text    NOT NULL,
    player_id text    NOT NULL,
    present   text    NOT NULL,
    CONSTRAINT attendance_pk PRIMARY KEY (region_id, outing_id, player_id),
    CONSTRAINT attendance_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT attendance_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT attendance_present_ok CHECK (present IN ('yes', 'no', 'excused')),
    CONSTRAINT attendance_ids_form CHECK (length(region_id) = 36 AND length(outing_id) = 36 AND length(player_id) = 36)
) STRICT, WITHOUT ROWID;

CREATE INDEX attendance_by_player ON attendance (region_id, player_id);

CREATE TABLE audit (
    region_id   text    NOT NULL,
    id          text    NOT NULL,
    happened_at text    NOT NULL,
    account_id  text,
    role        text    NOT NULL,
    action      text    NOT NULL,
    what        text    NOT NULL,
    entry_id    text,
    detail      text,
    CONSTRAINT audit_pk PRIMARY KEY (region_id, id),
    CONSTRAINT audit_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT audit_words_ok CHECK (length(role) <= 40 AND length(action) BETWEEN 1 AND 100 AND length(what) <= 100),
    CONSTRAINT audit_detail_ok CHECK (length(detail) <= 10000),
    CONSTRAINT audit_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(account_id) = 36 AND length(entry_id) = 36),
    CONSTRAINT audit_times_form CHECK (length(happened_at) = 27)
) STRICT;

CREATE INDEX audit_by_time ON audit (region_id, happened_at, id);

CREATE TABLE club (
    region_id   text    NOT NULL,
    id          text    NOT NULL,
    name        text    NOT NULL,
    name_search text    NOT NULL,
    short_name  text    NOT NULL,
    version     integer NOT NULL,
    CONSTRAINT club_pk PRIMARY KEY (region_id, id),
    CONSTRAINT club_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT club_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT club_short_name_ok CHECK (length(short_name) <= 60),
    CONSTRAINT club_version_ok CHECK (version >= 1),
    CONSTRAINT club_ids_form CHECK (length(region_id) = 36 AND length(id) = 36)
) STRICT;

CREATE INDEX club_by_name ON club (region_id, name_search, id);

CREATE TABLE correction (
    region_id    text    NOT NULL,
    id           text    NOT NULL,
    outing_id    text    NOT NULL,
    happened_at  text    NOT NULL,
    by_account   text,
    what         text    NOT NULL,
    entry_id     text,
    before_entry text,
    after_entry  text,
    reason       text    NOT NULL,
    CONSTRAINT correction_pk PRIMARY KEY (region_id, id),
    CONSTRAINT correction_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT correction_what_ok CHECK (what IN ('over', 'spell', 'practice', 'attendance', 'outing')),
    CONSTRAINT correction_entry_ok CHECK (length(before_entry) <= 100000 AND length(after_entry) <= 100000),
    CONSTRAINT correction_reason_ok CHECK (length(reason) <= 1000),
    CONSTRAINT correction_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(outing_id) = 36 AND length(by_account) = 36
        AND length(entry_id) = 36),
    CONSTRAINT correction_times_form CHECK (length(happened_at) = 27)
) STRICT;

CREATE INDEX correction_by_outing ON correction (region_id, outing_id, happened_at, id);

CREATE TABLE day_load (
    region_id text    NOT NULL,
    player_id text    NOT NULL,
    day       text    NOT NULL,
    kind      text    NOT NULL,
    balls     integer NOT NULL,
    valid     integer NOT NULL,
    overs     integer NOT NULL,
    CONSTRAINT day_load_pk PRIMARY KEY (region_id, player_id, day, kind),
    CONSTRAINT day_load_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT day_load_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT day_load_balls_ok CHECK (balls >= 0 AND valid >= 0 AND overs >= 0),
    CONSTRAINT day_load_ids_form CHECK (length(region_id) = 36 AND length(player_id) = 36),
    CONSTRAINT day_load_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT, WITHOUT ROWID;

CREATE TABLE job_done (
    region_id  text    NOT NULL,
    job        text    NOT NULL,
    local_date text    NOT NULL,
    fence      integer NOT NULL,
    done_at    text    NOT NULL,
    CONSTRAINT job_done_pk PRIMARY KEY (region_id, job, local_date),
    CONSTRAINT job_done_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT job_done_job_ok CHECK (length(job) BETWEEN 1 AND 64),
    CONSTRAINT job_done_ids_form CHECK (length(region_id) = 36),
    CONSTRAINT job_done_days_form CHECK (local_date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT job_done_times_form CHECK (length(done_at) = 27)
) STRICT, WITHOUT ROWID;

CREATE TABLE job_lease (
    region_id  text    NOT NULL,
    job        text    NOT NULL,
    holder     text    NOT NULL,
    expires_at text    NOT NULL,
    fence      integer NOT NULL,
    CONSTRAINT job_lease_pk PRIMARY KEY (region_id, job),
    CONSTRAINT job_lease_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT job_lease_job_ok CHECK (length(job) BETWEEN 1 AND 64),
    CONSTRAINT job_lease_holder_ok CHECK (length(holder) <= 200),
    CONSTRAINT job_lease_fence_ok CHECK (fence >= 1),
    CONSTRAINT job_lease_ids_form CHECK (length(region_id) = 36),
    CONSTRAINT job_lease_times_form CHECK (length(expires_at) = 27)
) STRICT, WITHOUT ROWID;

CREATE TABLE login (
    id           text    NOT NULL,
    account_id   text    NOT NULL,
    created_at   text    NOT NULL,
    last_used_at text,
    expires_at   text    NOT NULL,
    ended_at     text,
    end_reason   text    NOT NULL,
    CONSTRAINT login_pk PRIMARY KEY (id),
    CONSTRAINT login_account_fk FOREIGN KEY (account_id) REFERENCES account (id),
    CONSTRAINT login_end_reason_ok CHECK (length(end_reason) <= 40),
    CONSTRAINT login_ids_form CHECK (length(id) = 36 AND length(account_id) = 36),
    CONSTRAINT login_times_form CHECK (length(created_at) = 27 AND length(last_used_at) = 27 AND length(expires_at) = 27
        AND length(ended_at) = 27)
) STRICT;

CREATE INDEX login_by_account ON login (account_id);

CREATE TABLE notice (
    region_id     text    NOT NULL,
    id            text    NOT NULL,
    kind          text    NOT NULL,
    player_id     text    NOT NULL,
    matter        text    NOT NULL,
    limit_set     text    NOT NULL,
    limit_name    text    NOT NULL,
    weight        text    NOT NULL,
    first_day     text    NOT NULL,
    last_day      text    NOT NULL,
    opened_on     text    NOT NULL,
    visible_until text    NOT NULL,
    state         text    NOT NULL,
    taken_up_by   text,
    taken_up_at   text,
    end_reason    text    NOT NULL,
    ended_by      text,
    ended_at      text,
    late          integer NOT NULL,
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
    CONSTRAINT notice_version_ok CHECK (version >= 1),
    CONSTRAINT notice_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(player_id) = 36 AND length(taken_up_by) = 36
        AND length(ended_by) = 36),
    CONSTRAINT notice_days_form CHECK (first_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND last_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND opened_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND visible_until GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT notice_times_form CHECK (length(taken_up_at) = 27 AND length(ended_at) = 27),
    CONSTRAINT notice_flags_form CHECK (late IN (0, 1))
) STRICT;

CREATE INDEX notice_by_last_day ON notice (region_id, last_day, id);

CREATE TABLE notice_fact (
    region_id text    NOT NULL,
    id        text    NOT NULL,
    notice_id text    NOT NULL,
    player_id text    NOT NULL,
    fact_key  text    NOT NULL,
    day       text    NOT NULL,
    outing_id text,
    innings   integer NOT NULL,
    over_no   integer NOT NULL,
    allowed   integer NOT NULL,
    actual    integer NOT NULL,
    earliest  integer NOT NULL,
    age_group text    NOT NULL,
    says      text    NOT NULL,
    source    text    NOT NULL,
    late      integer NOT NULL,
    withdrawn integer NOT NULL,
    CONSTRAINT notice_fact_pk PRIMARY KEY (region_id, id),
    CONSTRAINT notice_fact_once UNIQUE (region_id, player_id, fact_key),
    CONSTRAINT notice_fact_notice_fk FOREIGN KEY (region_id, notice_id) REFERENCES notice (region_id, id),
    CONSTRAINT notice_fact_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT notice_fact_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing (region_id, id),
    CONSTRAINT notice_fact_key_ok CHECK (length(fact_key) BETWEEN 1 AND 400),
    CONSTRAINT notice_fact_figures_ok CHECK (innings >= 0 AND over_no >= 0 AND allowed >= -1 AND actual >= 0 AND earliest >= 0),
    CONSTRAINT notice_fact_words_ok CHECK (length(age_group) <= 20 AND length(says) <= 2000 AND length(source) <= 500),
    CONSTRAINT notice_fact_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(notice_id) = 36 AND length(player_id) = 36
        AND length(outing_id) = 36),
    CONSTRAINT notice_fact_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT notice_fact_flags_form CHECK (late IN (0, 1) AND withdrawn IN (0, 1))
) STRICT;

CREATE INDEX notice_fact_by_notice ON notice_fact (region_id, notice_id);

CREATE TABLE outing (
    region_id     text    NOT NULL,
    id            text    NOT NULL,
    club_id       text    NOT NULL,
    squad_id      text,
    kind          text    NOT NULL,
    state         text    NOT NULL,
    day           text    NOT NULL,
    title         text    NOT NULL,
    reference     text    NOT NULL,
    has_format    integer NOT NULL,
    overs_a_side  integer NOT NULL,
    bowler_cap    integer NOT NULL,
    balls_in_over text    NOT NULL,
    logged_by     text,
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
    CONSTRAINT outing_version_ok CHECK (version >= 1),
    CONSTRAINT outing_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(club_id) = 36 AND length(squad_id) = 36
        AND length(logged_by) = 36),
    CONSTRAINT outing_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT outing_flags_form CHECK (has_format IN (0, 1))
) STRICT;

CREATE INDEX outing_by_club ON outing (region_id, club_id, day, id);

CREATE INDEX outing_by_day ON outing (region_id, day, id);

CREATE INDEX outing_by_squad ON outing (region_id, squad_id, day, id);

CREATE UNIQUE INDEX outing_reference_once ON outing (region_id, club_id, reference) WHERE reference <> '';

CREATE TABLE over_log (
    region_id text    NOT NULL,
    id        text    NOT NULL,
    outing_id text    NOT NULL,
    day       text    NOT NULL,
    innings   integer NOT NULL,
    over_no   integer NOT NULL,
    from_end  text    NOT NULL,
    player_id text    NOT NULL,
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
    CONSTRAINT over_log_version_ok CHECK (version >= 1),
    CONSTRAINT over_log_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(outing_id) = 36 AND length(player_id) = 36),
    CONSTRAINT over_log_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE INDEX over_log_by_player ON over_log (region_id, player_id, day);

CREATE TABLE player (
    region_id   text    NOT NULL,
    id          text    NOT NULL,
    reference   text    NOT NULL,
    name        text    NOT NULL,
    name_search text    NOT NULL,
    born        text,
    sex         text    NOT NULL,
    arm         text    NOT NULL,
    kind        text    NOT NULL,
    since_day   text,
    version     integer NOT NULL,
    CONSTRAINT player_pk PRIMARY KEY (region_id, id),
    CONSTRAINT player_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT player_reference_ok CHECK (length(reference) <= 200),
    CONSTRAINT player_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT player_sex_ok CHECK (sex IN ('', 'f', 'm', 'x')),
    CONSTRAINT player_arm_ok CHECK (arm IN ('', 'right', 'left')),
    CONSTRAINT player_kind_ok CHECK (kind IN ('', 'wrist_spin', 'finger_spin', 'seam_up', 'seam_back')),
    CONSTRAINT player_version_ok CHECK (version >= 1),
    CONSTRAINT player_ids_form CHECK (length(region_id) = 36 AND length(id) = 36),
    CONSTRAINT player_days_form CHECK (born GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND since_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE INDEX player_by_name ON player (region_id, name_search, id);

CREATE UNIQUE INDEX player_reference_once ON player (region_id, reference) WHERE reference <> '';

CREATE TABLE practice (
    region_id text    NOT NULL,
    id        text    NOT NULL,
    outing_id text    NOT NULL,
    player_id text    NOT NULL,
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
    CONSTRAINT practice_version_ok CHECK (version >= 1),
    CONSTRAINT practice_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(outing_id) = 36 AND length(player_id) = 36)
) STRICT;

CREATE INDEX practice_by_outing ON practice (region_id, outing_id);

CREATE INDEX practice_by_player ON practice (region_id, player_id, outing_id);

CREATE TABLE quick_spell (
    region_id  text    NOT NULL,
    id         text    NOT NULL,
    outing_id  text    NOT NULL,
    day        text    NOT NULL,
    innings    integer NOT NULL,
    first_over integer NOT NULL,
    from_end   text    NOT NULL,
    player_id  text    NOT NULL,
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
    CONSTRAINT quick_spell_version_ok CHECK (version >= 1),
    CONSTRAINT quick_spell_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(outing_id) = 36 AND length(player_id) = 36),
    CONSTRAINT quick_spell_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE INDEX quick_spell_by_outing ON quick_spell (region_id, outing_id);

CREATE INDEX quick_spell_by_player ON quick_spell (region_id, player_id, day);

CREATE TABLE refresh_token (
    hash       text    NOT NULL,
    login_id   text    NOT NULL,
    issued_at  text    NOT NULL,
    expires_at text    NOT NULL,
    used_at    text,
    next_hash  text    NOT NULL,
    next_seal  text    NOT NULL,
    CONSTRAINT refresh_token_pk PRIMARY KEY (hash),
    CONSTRAINT refresh_token_login_fk FOREIGN KEY (login_id) REFERENCES login (id),
    CONSTRAINT refresh_token_hash_ok CHECK (length(hash) BETWEEN 1 AND 200 AND length(next_hash) <= 200),
    CONSTRAINT refresh_token_next_seal_ok CHECK (length(next_seal) <= 1000),
    CONSTRAINT refresh_token_ids_form CHECK (length(login_id) = 36),
    CONSTRAINT refresh_token_times_form CHECK (length(issued_at) = 27 AND length(expires_at) = 27 AND length(used_at) = 27)
) STRICT;

CREATE INDEX refresh_token_by_login ON refresh_token (login_id);

CREATE TABLE region (
    id                 text    NOT NULL,
    name               text    NOT NULL,
    time_zone          text    NOT NULL,
    season_start_month integer NOT NULL,
    season_start_day   integer NOT NULL,
    demo               integer NOT NULL,
    created_at         text    NOT NULL,
    version            integer NOT NULL,
    CONSTRAINT region_pk PRIMARY KEY (id),
    CONSTRAINT region_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT region_time_zone_ok CHECK (length(time_zone) BETWEEN 1 AND 64),
    CONSTRAINT region_season_start_ok CHECK (season_start_month BETWEEN 1 AND 12 AND season_start_day BETWEEN 1 AND 31),
    CONSTRAINT region_version_ok CHECK (version >= 1),
    CONSTRAINT region_ids_form CHECK (length(id) = 36),
    CONSTRAINT region_times_form CHECK (length(created_at) = 27),
    CONSTRAINT region_flags_form CHECK (demo IN (0, 1))
) STRICT;

CREATE TABLE registration (
    region_id  text    NOT NULL,
    id         text    NOT NULL,
    player_id  text    NOT NULL,
    club_id    text    NOT NULL,
    season_id  text    NOT NULL,
    first_club integer NOT NULL,
    from_day   text    NOT NULL,
    to_day     text,
    version    integer NOT NULL,
    CONSTRAINT registration_pk PRIMARY KEY (region_id, id),
    CONSTRAINT registration_once UNIQUE (region_id, player_id, club_id, season_id, from_day),
    CONSTRAINT registration_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT registration_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT registration_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season (region_id, id),
    CONSTRAINT registration_days_ok CHECK (to_day >= from_day),
    CONSTRAINT registration_version_ok CHECK (version >= 1),
    CONSTRAINT registration_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(player_id) = 36 AND length(club_id) = 36
        AND length(season_id) = 36),
    CONSTRAINT registration_days_form CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND to_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT registration_flags_form CHECK (first_club IN (0, 1))
) STRICT;

CREATE INDEX registration_by_club ON registration (region_id, club_id, player_id);

CREATE INDEX registration_by_season ON registration (region_id, season_id);

CREATE TABLE season (
    region_id text    NOT NULL,
    id        text    NOT NULL,
    name      text    NOT NULL,
    first_day text    NOT NULL,
    last_day  text    NOT NULL,
    version   integer NOT NULL,
    CONSTRAINT season_pk PRIMARY KEY (region_id, id),
    CONSTRAINT season_region_fk FOREIGN KEY (region_id) REFERENCES region (id),
    CONSTRAINT season_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT season_days_ok CHECK (last_day >= first_day),
    CONSTRAINT season_version_ok CHECK (version >= 1),
    CONSTRAINT season_ids_form CHECK (length(region_id) = 36 AND length(id) = 36),
    CONSTRAINT season_days_form CHECK (first_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND last_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT;

CREATE INDEX season_by_day ON season (region_id, first_day, id);

CREATE TABLE squad (
    region_id   text    NOT NULL,
    id          text    NOT NULL,
    club_id     text    NOT NULL,
    season_id   text    NOT NULL,
    name        text    NOT NULL,
    name_search text    NOT NULL,
    age_group   text    NOT NULL,
    version     integer NOT NULL,
    CONSTRAINT squad_pk PRIMARY KEY (region_id, id),
    CONSTRAINT squad_of_club UNIQUE (region_id, club_id, id),
    CONSTRAINT squad_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club (region_id, id),
    CONSTRAINT squad_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season (region_id, id),
    CONSTRAINT squad_name_ok CHECK (length(name) BETWEEN 1 AND 200),
    CONSTRAINT squad_age_group_ok CHECK (length(age_group) <= 20),
    CONSTRAINT squad_version_ok CHECK (version >= 1),
    CONSTRAINT squad_ids_form CHECK (length(region_id) = 36 AND length(id) = 36 AND length(club_id) = 36 AND length(season_id) = 36)
) STRICT;

CREATE INDEX squad_by_name ON squad (region_id, name_search, id);

CREATE INDEX squad_by_season ON squad (region_id, season_id);

CREATE TABLE squad_player (
    region_id text    NOT NULL,
    squad_id  text    NOT NULL,
    player_id text    NOT NULL,
    from_day  text    NOT NULL,
    to_day    text,
    CONSTRAINT squad_player_pk PRIMARY KEY (region_id, squad_id, player_id, from_day),
    CONSTRAINT squad_player_squad_fk FOREIGN KEY (region_id, squad_id) REFERENCES squad (region_id, id),
    CONSTRAINT squad_player_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT squad_player_days_ok CHECK (to_day >= from_day),
    CONSTRAINT squad_player_ids_form CHECK (length(region_id) = 36 AND length(squad_id) = 36 AND length(player_id) = 36),
    CONSTRAINT squad_player_days_form CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'
        AND to_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT, WITHOUT ROWID;

CREATE INDEX squad_player_by_player ON squad_player (region_id, player_id);

CREATE TABLE touched_day (
    region_id text    NOT NULL,
    player_id text    NOT NULL,
    day       text    NOT NULL,
    touches   integer NOT NULL,
    CONSTRAINT touched_day_pk PRIMARY KEY (region_id, player_id, day),
    CONSTRAINT touched_day_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player (region_id, id),
    CONSTRAINT touched_day_ids_form CHECK (length(region_id) = 36 AND length(player_id) = 36),
    CONSTRAINT touched_day_days_form CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')
) STRICT, WITHOUT ROWID;
