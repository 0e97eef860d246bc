-- What the migrations in this folder lead to; written by the tests of internal/store, never by hand.

CREATE TABLE account (
    id uuid NOT NULL,
    email text COLLATE "C" NOT NULL,
    display_name text NOT NULL,
    password_hash text NOT NULL,
    failed_in_row integer NOT NULL,
    wait_until timestamp with time zone,
    closed boolean NOT NULL,
    created_at timestamp with time zone NOT NULL,
    CONSTRAINT account_pk PRIMARY KEY (id),
    CONSTRAINT account_email_once UNIQUE (email),
    CONSTRAINT account_display_name_ok CHECK (((length(display_name) >= 1) AND (length(display_name) <= 200))),
    CONSTRAINT account_email_ok CHECK ((((length(email) >= 3) AND (length(email) <= 254)) AND (email = lower(email)))),
    CONSTRAINT account_failed_in_row_ok CHECK ((failed_in_row >= 0)),
    CONSTRAINT account_password_hash_ok CHECK ((length(password_hash) <= 500))
);

CREATE TABLE account_region (
    account_id uuid NOT NULL,
    region_id uuid NOT NULL,
    CONSTRAINT account_region_pk PRIMARY KEY (account_id, region_id),
    CONSTRAINT account_region_account_fk FOREIGN KEY (account_id) REFERENCES account(id),
    CONSTRAINT account_region_region_fk FOREIGN KEY (region_id) REFERENCES region(id)
);

CREATE TABLE adoption (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    limit_set text COLLATE "C" NOT NULL,
    from_day date NOT NULL,
    to_day date,
    settings text,
    version integer NOT NULL,
    CONSTRAINT adoption_pk PRIMARY KEY (region_id, id),
    CONSTRAINT adoption_once UNIQUE (region_id, limit_set, from_day),
    CONSTRAINT adoption_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT adoption_days_ok CHECK ((to_day >= from_day)),
    CONSTRAINT adoption_limit_set_ok CHECK (((length(limit_set) >= 1) AND (length(limit_set) <= 64))),
    CONSTRAINT adoption_settings_ok CHECK ((length(settings) <= 10000)),
    CONSTRAINT adoption_version_ok CHECK ((version >= 1))
);
ALTER TABLE adoption ENABLE ROW LEVEL SECURITY;
ALTER TABLE adoption FORCE ROW LEVEL SECURITY;
CREATE POLICY adoption_region ON adoption AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE answered_request (
    region_id uuid NOT NULL,
    account_id uuid NOT NULL,
    request_key text COLLATE "C" NOT NULL,
    fingerprint text NOT NULL,
    answer bytea NOT NULL,
    answered_at timestamp with time zone NOT NULL,
    CONSTRAINT answered_request_pk PRIMARY KEY (region_id, account_id, request_key),
    CONSTRAINT answered_request_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT answered_request_key_ok CHECK ((((length(request_key) >= 1) AND (length(request_key) <= 200)) AND (length(fingerprint) <= 200)))
);
ALTER TABLE answered_request ENABLE ROW LEVEL SECURITY;
ALTER TABLE answered_request FORCE ROW LEVEL SECURITY;
CREATE POLICY answered_request_region ON answered_request AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE appointment (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    account_id uuid NOT NULL,
    role text NOT NULL,
    club_id uuid,
    squad_id uuid,
    player_id uuid,
    from_day date NOT NULL,
    to_day date,
    version integer NOT NULL,
    CONSTRAINT appointment_pk PRIMARY KEY (region_id, id),
    CONSTRAINT appointment_account_fk FOREIGN KEY (account_id) REFERENCES account(id),
    CONSTRAINT appointment_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club(region_id, id),
    CONSTRAINT appointment_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT appointment_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT appointment_squad_fk FOREIGN KEY (region_id, club_id, squad_id) REFERENCES squad(region_id, club_id, id),
    CONSTRAINT appointment_days_ok CHECK ((to_day >= from_day)),
    CONSTRAINT appointment_over_ok CHECK ((((role = 'region_officer'::text) AND (club_id IS NULL) AND (squad_id IS NULL) AND (player_id IS NULL)) OR ((role = 'club_lead'::text) AND (club_id IS NOT NULL) AND (squad_id IS NULL) AND (player_id IS NULL)) OR ((role = 'coach'::text) AND (club_id IS NOT NULL) AND (player_id IS NULL)) OR ((role = 'guardian'::text) AND (squad_id IS NULL) AND (player_id IS NOT NULL)))),
    CONSTRAINT appointment_role_ok CHECK ((role = ANY (ARRAY['region_officer'::text, 'club_lead'::text, 'coach'::text, 'guardian'::text]))),
    CONSTRAINT appointment_version_ok CHECK ((version >= 1))
);
CREATE INDEX appointment_by_account ON public.appointment USING btree (region_id, account_id);
CREATE INDEX appointment_by_club ON public.appointment USING btree (region_id, club_id);
ALTER TABLE appointment ENABLE ROW LEVEL SECURITY;
ALTER TABLE appointment FORCE ROW LEVEL SECURITY;
CREATE POLICY appointment_region ON appointment AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE attendance (
    region_id uuid NOT NULL,
    outing_id uuid NOT NULL,
    player_id uuid NOT NULL,
    present text NOT NULL,
    CONSTRAINT attendance_pk PRIMARY KEY (region_id, outing_id, player_id),
    CONSTRAINT attendance_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT attendance_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT attendance_present_ok CHECK ((present = ANY (ARRAY['yes'::text, 'no'::text, 'excused'::text])))
);
CREATE INDEX attendance_by_player ON public.attendance USING btree (region_id, player_id);
ALTER TABLE attendance ENABLE ROW LEVEL SECURITY;
ALTER TABLE attendance FORCE ROW LEVEL SECURITY;
CREATE POLICY attendance_region ON attendance AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE audit (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    happened_at timestamp with time zone NOT NULL,
    account_id uuid,
    role text NOT NULL,
    action text NOT NULL,
    what text NOT NULL,
    entry_id uuid,
    detail text,
    CONSTRAINT audit_pk PRIMARY KEY (region_id, id),
    CONSTRAINT audit_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT audit_detail_ok CHECK ((length(detail) <= 10000)),
    CONSTRAINT audit_words_ok CHECK (((length(role) <= 40) AND ((length(action) >= 1) AND (length(action) <= 100)) AND (length(what) <= 100)))
);
CREATE INDEX audit_by_time ON public.audit USING btree (region_id, happened_at, id);
ALTER TABLE audit ENABLE ROW LEVEL SECURITY;
ALTER TABLE audit FORCE ROW LEVEL SECURITY;
CREATE POLICY audit_region ON audit AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE club (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    name text NOT NULL,
    name_search text COLLATE "C" NOT NULL,
    short_name text NOT NULL,
    version integer NOT NULL,
    CONSTRAINT club_pk PRIMARY KEY (region_id, id),
    CONSTRAINT club_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT club_name_ok CHECK (((length(name) >= 1) AND (length(name) <= 200))),
    CONSTRAINT club_short_name_ok CHECK ((length(short_name) <= 60)),
    CONSTRAINT club_version_ok CHECK ((version >= 1))
);
CREATE INDEX club_by_name ON public.club USING btree (region_id, name_search, id);
ALTER TABLE club ENABLE ROW LEVEL SECURITY;
ALTER TABLE club FORCE ROW LEVEL SECURITY;
CREATE POLICY club_region ON club AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE correction (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    outing_id uuid NOT NULL,
    happened_at timestamp with time zone NOT NULL,
    by_account uuid,
    what text NOT NULL,
    entry_id uuid,
    before_entry text,
    after_entry text,
    reason text NOT NULL,
    CONSTRAINT correction_pk PRIMARY KEY (region_id, id),
    CONSTRAINT correction_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT correction_entry_ok CHECK (((length(before_entry) <= 100000) AND (length(after_entry) <= 100000))),
    CONSTRAINT correction_reason_ok CHECK ((length(reason) <= 1000)),
    CONSTRAINT correction_what_ok CHECK ((what = ANY (ARRAY['over'::text, 'spell'::text, 'practice'::text, 'attendance'::text, 'outing'::text])))
);
CREATE INDEX correction_by_outing ON public.correction USING btree (region_id, outing_id, happened_at, id);
ALTER TABLE correction ENABLE ROW LEVEL SECURITY;
ALTER TABLE correction FORCE ROW LEVEL SECURITY;
CREATE POLICY correction_region ON correction AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE day_load (
    region_id uuid NOT NULL,
    player_id uuid NOT NULL,
    day date NOT NULL,
    kind text COLLATE "C" NOT NULL,
    balls integer NOT NULL,
    valid integer NOT NULL,
    overs integer NOT NULL,
    CONSTRAINT day_load_pk PRIMARY KEY (region_id, player_id, day, kind),
    CONSTRAINT day_load_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT day_load_balls_ok CHECK (((balls >= 0) AND (valid >= 0) AND (overs >= 0))),
    CONSTRAINT day_load_kind_ok CHECK ((kind = ANY (ARRAY[''::text, 'wrist_spin'::text, 'finger_spin'::text, 'seam_up'::text, 'seam_back'::text])))
);
ALTER TABLE day_load ENABLE ROW LEVEL SECURITY;
ALTER TABLE day_load FORCE ROW LEVEL SECURITY;
CREATE POLICY day_load_region ON day_load AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE job_done (
    region_id uuid NOT NULL,
    job text COLLATE "C" NOT NULL,
    local_date date NOT NULL,
    fence bigint NOT NULL,
    done_at timestamp with time zone NOT NULL,
    CONSTRAINT job_done_pk PRIMARY KEY (region_id, job, local_date),
    CONSTRAINT job_done_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT job_done_job_ok CHECK (((length(job) >= 1) AND (length(job) <= 64)))
);
ALTER TABLE job_done ENABLE ROW LEVEL SECURITY;
ALTER TABLE job_done FORCE ROW LEVEL SECURITY;
CREATE POLICY job_done_region ON job_done AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE job_lease (
    region_id uuid NOT NULL,
    job text COLLATE "C" NOT NULL,
    holder text NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    fence bigint NOT NULL,
    CONSTRAINT job_lease_pk PRIMARY KEY (region_id, job),
    CONSTRAINT job_lease_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT job_lease_fence_ok CHECK ((fence >= 1)),
    CONSTRAINT job_lease_holder_ok CHECK ((length(holder) <= 200)),
    CONSTRAINT job_lease_job_ok CHECK (((length(job) >= 1) AND (length(job) <= 64)))
);
ALTER TABLE job_lease ENABLE ROW LEVEL SECURITY;
ALTER TABLE job_lease FORCE ROW LEVEL SECURITY;
CREATE POLICY job_lease_region ON job_lease AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE login (
    id uuid NOT NULL,
    account_id uuid NOT NULL,
    created_at timestamp with time zone NOT NULL,
    last_used_at timestamp with time zone,
    expires_at timestamp with time zone NOT NULL,
    ended_at timestamp with time zone,
    end_reason text NOT NULL,
    CONSTRAINT login_pk PRIMARY KEY (id),
    CONSTRAINT login_account_fk FOREIGN KEY (account_id) REFERENCES account(id),
    CONSTRAINT login_end_reason_ok CHECK ((length(end_reason) <= 40))
);
CREATE INDEX login_by_account ON public.login USING btree (account_id);

CREATE TABLE notice (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    kind text NOT NULL,
    player_id uuid NOT NULL,
    matter text COLLATE "C" NOT NULL,
    limit_set text NOT NULL,
    limit_name text NOT NULL,
    weight text NOT NULL,
    first_day date NOT NULL,
    last_day date NOT NULL,
    opened_on date NOT NULL,
    visible_until date NOT NULL,
    state text NOT NULL,
    taken_up_by uuid,
    taken_up_at timestamp with time zone,
    end_reason text NOT NULL,
    ended_by uuid,
    ended_at timestamp with time zone,
    late boolean NOT NULL,
    version integer NOT NULL,
    CONSTRAINT notice_pk PRIMARY KEY (region_id, id),
    CONSTRAINT notice_once UNIQUE (region_id, player_id, matter, first_day),
    CONSTRAINT notice_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT notice_days_ok CHECK ((last_day >= first_day)),
    CONSTRAINT notice_end_reason_ok CHECK ((end_reason = ANY (ARRAY[''::text, 'returned'::text, 'moved_club'::text, 'left_game'::text, 'injured_or_resting'::text, 'family'::text, 'logging_gap'::text, 'adult_decided'::text, 'corrected'::text]))),
    CONSTRAINT notice_ended_with_reason CHECK (((state = 'ended'::text) = (end_reason <> ''::text))),
    CONSTRAINT notice_kind_ok CHECK ((kind = 'bowled_too_much'::text)),
    CONSTRAINT notice_matter_ok CHECK ((((length(matter) >= 1) AND (length(matter) <= 200)) AND (length(limit_set) <= 64) AND (length(limit_name) <= 64) AND (length(weight) <= 40))),
    CONSTRAINT notice_state_ok CHECK ((state = ANY (ARRAY['open'::text, 'taken_up'::text, 'ended'::text]))),
    CONSTRAINT notice_version_ok CHECK ((version >= 1))
);
CREATE INDEX notice_by_last_day ON public.notice USING btree (region_id, last_day, id);
ALTER TABLE notice ENABLE ROW LEVEL SECURITY;
ALTER TABLE notice FORCE ROW LEVEL SECURITY;
CREATE POLICY notice_region ON notice AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE notice_fact (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    notice_id uuid NOT NULL,
    player_id uuid NOT NULL,
    fact_key text COLLATE "C" NOT NULL,
    day date NOT NULL,
    outing_id uuid,
    innings integer NOT NULL,
    over_no integer NOT NULL,
    allowed integer NOT NULL,
    actual integer NOT NULL,
    earliest integer NOT NULL,
    age_group text NOT NULL,
    says text NOT NULL,
    source text NOT NULL,
    late boolean NOT NULL,
    withdrawn boolean NOT NULL,
    CONSTRAINT notice_fact_pk PRIMARY KEY (region_id, id),
    CONSTRAINT notice_fact_once UNIQUE (region_id, player_id, fact_key),
    CONSTRAINT notice_fact_notice_fk FOREIGN KEY (region_id, notice_id) REFERENCES notice(region_id, id),
    CONSTRAINT notice_fact_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT notice_fact_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT notice_fact_figures_ok CHECK (((innings >= 0) AND (over_no >= 0) AND (allowed >= '-1'::integer) AND (actual >= 0) AND (earliest >= 0))),
    CONSTRAINT notice_fact_key_ok CHECK (((length(fact_key) >= 1) AND (length(fact_key) <= 400))),
    CONSTRAINT notice_fact_words_ok CHECK (((length(age_group) <= 20) AND (length(says) <= 2000) AND (length(source) <= 500)))
);
CREATE INDEX notice_fact_by_notice ON public.notice_fact USING btree (region_id, notice_id);
ALTER TABLE notice_fact ENABLE ROW LEVEL SECURITY;
ALTER TABLE notice_fact FORCE ROW LEVEL SECURITY;
CREATE POLICY notice_fact_region ON notice_fact AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE outing (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    club_id uuid NOT NULL,
    squad_id uuid,
    kind text NOT NULL,
    state text NOT NULL,
    day date NOT NULL,
    title text NOT NULL,
    reference text COLLATE "C" NOT NULL,
    has_format boolean NOT NULL,
    overs_a_side integer NOT NULL,
    bowler_cap integer NOT NULL,
    balls_in_over text NOT NULL,
    logged_by uuid,
    version integer NOT NULL,
    CONSTRAINT outing_pk PRIMARY KEY (region_id, id),
    CONSTRAINT outing_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club(region_id, id),
    CONSTRAINT outing_squad_fk FOREIGN KEY (region_id, club_id, squad_id) REFERENCES squad(region_id, club_id, id),
    CONSTRAINT outing_format_ok CHECK ((((overs_a_side >= 0) AND (overs_a_side <= 1000)) AND ((bowler_cap >= 0) AND (bowler_cap <= 1000)) AND (balls_in_over = ANY (ARRAY[''::text, 'six_valid'::text, 'six_fixed'::text, 'at_most_7'::text, 'at_most_8'::text, 'five_fixed'::text])))),
    CONSTRAINT outing_kind_ok CHECK ((kind = ANY (ARRAY['match'::text, 'nets'::text, 'home'::text, 'school'::text, 'other'::text]))),
    CONSTRAINT outing_reference_ok CHECK ((length(reference) <= 200)),
    CONSTRAINT outing_state_ok CHECK ((state = ANY (ARRAY['planned'::text, 'held'::text, 'called_off'::text]))),
    CONSTRAINT outing_title_ok CHECK ((length(title) <= 200)),
    CONSTRAINT outing_version_ok CHECK ((version >= 1))
);
CREATE INDEX outing_by_club ON public.outing USING btree (region_id, club_id, day, id);
CREATE INDEX outing_by_day ON public.outing USING btree (region_id, day, id);
CREATE INDEX outing_by_squad ON public.outing USING btree (region_id, squad_id, day, id);
CREATE UNIQUE INDEX outing_reference_once ON public.outing USING btree (region_id, club_id, reference) WHERE (reference <> ''::text);
ALTER TABLE outing ENABLE ROW LEVEL SECURITY;
ALTER TABLE outing FORCE ROW LEVEL SECURITY;
CREATE POLICY outing_region ON outing AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE over_log (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    outing_id uuid NOT NULL,
    day date NOT NULL,
    innings integer NOT NULL,
    over_no integer NOT NULL,
    from_end text NOT NULL,
    player_id uuid NOT NULL,
    kind text NOT NULL,
    balls integer NOT NULL,
    valid integer NOT NULL,
    break_min integer NOT NULL,
    seq integer NOT NULL,
    version integer NOT NULL,
    CONSTRAINT over_log_pk PRIMARY KEY (region_id, id),
    CONSTRAINT over_log_once UNIQUE (region_id, outing_id, innings, over_no, player_id),
    CONSTRAINT over_log_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT over_log_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT over_log_balls_ok CHECK ((((balls >= 0) AND (balls <= 1000)) AND ((valid >= 0) AND (valid <= balls)))),
    CONSTRAINT over_log_break_min_ok CHECK (((break_min >= 0) AND (break_min <= 100000))),
    CONSTRAINT over_log_from_end_ok CHECK ((from_end = ANY (ARRAY[''::text, 'A'::text, 'B'::text]))),
    CONSTRAINT over_log_kind_ok CHECK ((kind = ANY (ARRAY[''::text, 'wrist_spin'::text, 'finger_spin'::text, 'seam_up'::text, 'seam_back'::text]))),
    CONSTRAINT over_log_place_ok CHECK ((((innings >= 1) AND (innings <= 100)) AND ((over_no >= 1) AND (over_no <= 100000)) AND (seq >= 0))),
    CONSTRAINT over_log_version_ok CHECK ((version >= 1))
);
CREATE INDEX over_log_by_player ON public.over_log USING btree (region_id, player_id, day);
ALTER TABLE over_log ENABLE ROW LEVEL SECURITY;
ALTER TABLE over_log FORCE ROW LEVEL SECURITY;
CREATE POLICY over_log_region ON over_log AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE player (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    reference text COLLATE "C" NOT NULL,
    name text NOT NULL,
    name_search text COLLATE "C" NOT NULL,
    born date,
    sex text NOT NULL,
    arm text NOT NULL,
    kind text NOT NULL,
    since_day date,
    version integer NOT NULL,
    CONSTRAINT player_pk PRIMARY KEY (region_id, id),
    CONSTRAINT player_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT player_arm_ok CHECK ((arm = ANY (ARRAY[''::text, 'right'::text, 'left'::text]))),
    CONSTRAINT player_kind_ok CHECK ((kind = ANY (ARRAY[''::text, 'wrist_spin'::text, 'finger_spin'::text, 'seam_up'::text, 'seam_back'::text]))),
    CONSTRAINT player_name_ok CHECK (((length(name) >= 1) AND (length(name) <= 200))),
    CONSTRAINT player_reference_ok CHECK ((length(reference) <= 200)),
    CONSTRAINT player_sex_ok CHECK ((sex = ANY (ARRAY[''::text, 'f'::text, 'm'::text, 'x'::text]))),
    CONSTRAINT player_version_ok CHECK ((version >= 1))
);
CREATE INDEX player_by_name ON public.player USING btree (region_id, name_search, id);
CREATE UNIQUE INDEX player_reference_once ON public.player USING btree (region_id, reference) WHERE (reference <> ''::text);
ALTER TABLE player ENABLE ROW LEVEL SECURITY;
ALTER TABLE player FORCE ROW LEVEL SECURITY;
CREATE POLICY player_region ON player AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE practice (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    outing_id uuid NOT NULL,
    player_id uuid NOT NULL,
    kind text NOT NULL,
    balls integer NOT NULL,
    overs integer NOT NULL,
    hits integer NOT NULL,
    trial text NOT NULL,
    effort integer NOT NULL,
    version integer NOT NULL,
    CONSTRAINT practice_pk PRIMARY KEY (region_id, id),
    CONSTRAINT practice_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT practice_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT practice_balls_ok CHECK ((((balls >= 0) AND (balls <= 10000)) AND ((overs >= 0) AND (overs <= 1000)) AND ((hits >= '-1'::integer) AND (hits <= 10000)))),
    CONSTRAINT practice_effort_ok CHECK (((effort >= '-1'::integer) AND (effort <= 10))),
    CONSTRAINT practice_kind_ok CHECK ((kind = ANY (ARRAY[''::text, 'wrist_spin'::text, 'finger_spin'::text, 'seam_up'::text, 'seam_back'::text]))),
    CONSTRAINT practice_trial_ok CHECK ((length(trial) <= 200)),
    CONSTRAINT practice_version_ok CHECK ((version >= 1))
);
CREATE INDEX practice_by_outing ON public.practice USING btree (region_id, outing_id);
CREATE INDEX practice_by_player ON public.practice USING btree (region_id, player_id, outing_id);
ALTER TABLE practice ENABLE ROW LEVEL SECURITY;
ALTER TABLE practice FORCE ROW LEVEL SECURITY;
CREATE POLICY practice_region ON practice AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE quick_spell (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    outing_id uuid NOT NULL,
    day date NOT NULL,
    innings integer NOT NULL,
    first_over integer NOT NULL,
    from_end text NOT NULL,
    player_id uuid NOT NULL,
    kind text NOT NULL,
    overs integer NOT NULL,
    balls integer NOT NULL,
    valid integer NOT NULL,
    version integer NOT NULL,
    CONSTRAINT quick_spell_pk PRIMARY KEY (region_id, id),
    CONSTRAINT quick_spell_outing_fk FOREIGN KEY (region_id, outing_id) REFERENCES outing(region_id, id),
    CONSTRAINT quick_spell_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT quick_spell_balls_ok CHECK ((((overs >= 0) AND (overs <= 1000)) AND ((balls >= 0) AND (balls <= 10000)) AND ((valid >= 0) AND (valid <= balls)))),
    CONSTRAINT quick_spell_from_end_ok CHECK ((from_end = ANY (ARRAY[''::text, 'A'::text, 'B'::text]))),
    CONSTRAINT quick_spell_kind_ok CHECK ((kind = ANY (ARRAY[''::text, 'wrist_spin'::text, 'finger_spin'::text, 'seam_up'::text, 'seam_back'::text]))),
    CONSTRAINT quick_spell_place_ok CHECK ((((innings >= 0) AND (innings <= 100)) AND ((first_over >= 0) AND (first_over <= 100000)))),
    CONSTRAINT quick_spell_version_ok CHECK ((version >= 1))
);
CREATE INDEX quick_spell_by_outing ON public.quick_spell USING btree (region_id, outing_id);
CREATE INDEX quick_spell_by_player ON public.quick_spell USING btree (region_id, player_id, day);
ALTER TABLE quick_spell ENABLE ROW LEVEL SECURITY;
ALTER TABLE quick_spell FORCE ROW LEVEL SECURITY;
CREATE POLICY quick_spell_region ON quick_spell AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE refresh_token (
    hash text COLLATE "C" NOT NULL,
    login_id uuid NOT NULL,
    issued_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    used_at timestamp with time zone,
    next_hash text COLLATE "C" NOT NULL,
    next_seal text NOT NULL,
    CONSTRAINT refresh_token_pk PRIMARY KEY (hash),
    CONSTRAINT refresh_token_login_fk FOREIGN KEY (login_id) REFERENCES login(id),
    CONSTRAINT refresh_token_hash_ok CHECK ((((length(hash) >= 1) AND (length(hash) <= 200)) AND (length(next_hash) <= 200))),
    CONSTRAINT refresh_token_next_seal_ok CHECK ((length(next_seal) <= 1000))
);
CREATE INDEX refresh_token_by_login ON public.refresh_token USING btree (login_id);

CREATE TABLE region (
    id uuid NOT NULL,
    name text NOT NULL,
    time_zone text NOT NULL,
    season_start_month integer NOT NULL,
    season_start_day integer NOT NULL,
    demo boolean NOT NULL,
    created_at timestamp with time zone NOT NULL,
    version integer NOT NULL,
    CONSTRAINT region_pk PRIMARY KEY (id),
    CONSTRAINT region_name_ok CHECK (((length(name) >= 1) AND (length(name) <= 200))),
    CONSTRAINT region_season_start_ok CHECK ((((season_start_month >= 1) AND (season_start_month <= 12)) AND ((season_start_day >= 1) AND (season_start_day <= 31)))),
    CONSTRAINT region_time_zone_ok CHECK (((length(time_zone) >= 1) AND (length(time_zone) <= 64))),
    CONSTRAINT region_version_ok CHECK ((version >= 1))
);

CREATE TABLE registration (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    player_id uuid NOT NULL,
    club_id uuid NOT NULL,
    season_id uuid NOT NULL,
    first_club boolean NOT NULL,
    from_day date NOT NULL,
    to_day date,
    version integer NOT NULL,
    CONSTRAINT registration_pk PRIMARY KEY (region_id, id),
    CONSTRAINT registration_once UNIQUE (region_id, player_id, club_id, season_id, from_day),
    CONSTRAINT registration_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club(region_id, id),
    CONSTRAINT registration_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT registration_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season(region_id, id),
    CONSTRAINT registration_days_ok CHECK ((to_day >= from_day)),
    CONSTRAINT registration_version_ok CHECK ((version >= 1))
);
CREATE INDEX registration_by_club ON public.registration USING btree (region_id, club_id, player_id);
CREATE INDEX registration_by_season ON public.registration USING btree (region_id, season_id);
ALTER TABLE registration ENABLE ROW LEVEL SECURITY;
ALTER TABLE registration FORCE ROW LEVEL SECURITY;
CREATE POLICY registration_region ON registration AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE season (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    name text NOT NULL,
    first_day date NOT NULL,
    last_day date NOT NULL,
    version integer NOT NULL,
    CONSTRAINT season_pk PRIMARY KEY (region_id, id),
    CONSTRAINT season_region_fk FOREIGN KEY (region_id) REFERENCES region(id),
    CONSTRAINT season_days_ok CHECK ((last_day >= first_day)),
    CONSTRAINT season_name_ok CHECK (((length(name) >= 1) AND (length(name) <= 200))),
    CONSTRAINT season_version_ok CHECK ((version >= 1))
);
CREATE INDEX season_by_day ON public.season USING btree (region_id, first_day, id);
ALTER TABLE season ENABLE ROW LEVEL SECURITY;
ALTER TABLE season FORCE ROW LEVEL SECURITY;
CREATE POLICY season_region ON season AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE squad (
    region_id uuid NOT NULL,
    id uuid NOT NULL,
    club_id uuid NOT NULL,
    season_id uuid NOT NULL,
    name text NOT NULL,
    name_search text COLLATE "C" NOT NULL,
    age_group text NOT NULL,
    version integer NOT NULL,
    CONSTRAINT squad_pk PRIMARY KEY (region_id, id),
    CONSTRAINT squad_of_club UNIQUE (region_id, club_id, id),
    CONSTRAINT squad_club_fk FOREIGN KEY (region_id, club_id) REFERENCES club(region_id, id),
    CONSTRAINT squad_season_fk FOREIGN KEY (region_id, season_id) REFERENCES season(region_id, id),
    CONSTRAINT squad_age_group_ok CHECK ((length(age_group) <= 20)),
    CONSTRAINT squad_name_ok CHECK (((length(name) >= 1) AND (length(name) <= 200))),
    CONSTRAINT squad_version_ok CHECK ((version >= 1))
);
CREATE INDEX squad_by_name ON public.squad USING btree (region_id, name_search, id);
CREATE INDEX squad_by_season ON public.squad USING btree (region_id, season_id);
ALTER TABLE squad ENABLE ROW LEVEL SECURITY;
ALTER TABLE squad FORCE ROW LEVEL SECURITY;
CREATE POLICY squad_region ON squad AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE squad_player (
    region_id uuid NOT NULL,
    squad_id uuid NOT NULL,
    player_id uuid NOT NULL,
    from_day date NOT NULL,
    to_day date,
    CONSTRAINT squad_player_pk PRIMARY KEY (region_id, squad_id, player_id, from_day),
    CONSTRAINT squad_player_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id),
    CONSTRAINT squad_player_squad_fk FOREIGN KEY (region_id, squad_id) REFERENCES squad(region_id, id),
    CONSTRAINT squad_player_days_ok CHECK ((to_day >= from_day))
);
CREATE INDEX squad_player_by_player ON public.squad_player USING btree (region_id, player_id);
ALTER TABLE squad_player ENABLE ROW LEVEL SECURITY;
ALTER TABLE squad_player FORCE ROW LEVEL SECURITY;
CREATE POLICY squad_player_region ON squad_player AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));

CREATE TABLE touched_day (
    region_id uuid NOT NULL,
    player_id uuid NOT NULL,
    day date NOT NULL,
    touches integer NOT NULL,
    CONSTRAINT touched_day_pk PRIMARY KEY (region_id, player_id, day),
    CONSTRAINT touched_day_player_fk FOREIGN KEY (region_id, player_id) REFERENCES player(region_id, id)
);
ALTER TABLE touched_day ENABLE ROW LEVEL SECURITY;
ALTER TABLE touched_day FORCE ROW LEVEL SECURITY;
CREATE POLICY touched_day_region ON touched_day AS PERMISSIVE FOR ALL TO public
    USING ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")))
    WITH CHECK ((region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS "nullif")));
