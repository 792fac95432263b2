BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0002');
CREATE TABLE bay (
	id INTEGER NOT NULL, 
	shop_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	place INTEGER NOT NULL, 
	CONSTRAINT pk_bay PRIMARY KEY (id), 
	CONSTRAINT fk_bay_shop_id_shop FOREIGN KEY(shop_id) REFERENCES shop (id)
);
INSERT INTO "bay" VALUES(1,1,'name 1',1);
INSERT INTO "bay" VALUES(2,2,'name 2',2);
CREATE TABLE capture (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	job_id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	text VARCHAR NOT NULL, 
	value FLOAT, 
	uncertainty FLOAT, 
	quantity VARCHAR NOT NULL, 
	read_as VARCHAR NOT NULL, 
	confirmed BOOLEAN NOT NULL, 
	photo_digest VARCHAR, 
	on_capture_id INTEGER, 
	x FLOAT, 
	y FLOAT, 
	tag_id INTEGER, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	phone_at DATETIME, 
	supersedes_id INTEGER, 
	reason VARCHAR NOT NULL, 
	CONSTRAINT pk_capture PRIMARY KEY (id), 
	CONSTRAINT fk_capture_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_capture_on_capture_id_capture FOREIGN KEY(on_capture_id) REFERENCES capture (id), 
	CONSTRAINT fk_capture_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_capture_photo_digest_photo FOREIGN KEY(photo_digest) REFERENCES photo (digest), 
	CONSTRAINT fk_capture_step_id_step FOREIGN KEY(step_id) REFERENCES step (id), 
	CONSTRAINT fk_capture_supersedes_id_capture FOREIGN KEY(supersedes_id) REFERENCES capture (id), 
	CONSTRAINT fk_capture_tag_id_tag FOREIGN KEY(tag_id) REFERENCES tag (id), 
	CONSTRAINT uq_capture_client_id UNIQUE (client_id), 
	CONSTRAINT uq_capture_supersedes_id UNIQUE (supersedes_id)
);
INSERT INTO "capture" VALUES(1,'client_id 1',1,1,'key 1','place 1','kind 1','text 1',1.5,1.5,'quantity 1','read_as 1',0,'digest 1',NULL,1.5,1.5,1,1,'2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000',NULL,'reason 1');
INSERT INTO "capture" VALUES(2,'client_id 2',2,2,'key 2','place 2','kind 2','text 2',1.5,1.5,'quantity 2','read_as 2',0,'digest 2',1,1.5,1.5,2,2,'2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000',1,'reason 2');
CREATE TABLE decision (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	job_id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	part VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	verdict VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	evidence_id INTEGER, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	supersedes_id INTEGER, 
	CONSTRAINT pk_decision PRIMARY KEY (id), 
	CONSTRAINT fk_decision_evidence_id_capture FOREIGN KEY(evidence_id) REFERENCES capture (id), 
	CONSTRAINT fk_decision_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_decision_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_decision_step_id_step FOREIGN KEY(step_id) REFERENCES step (id), 
	CONSTRAINT fk_decision_supersedes_id_decision FOREIGN KEY(supersedes_id) REFERENCES decision (id), 
	CONSTRAINT uq_decision_client_id UNIQUE (client_id), 
	CONSTRAINT uq_decision_supersedes_id UNIQUE (supersedes_id)
);
INSERT INTO "decision" VALUES(1,'client_id 1',1,1,'part 1','place 1','verdict 1','reason 1',1,1,'2026-03-02 12:00:00.000000',NULL);
INSERT INTO "decision" VALUES(2,'client_id 2',2,2,'part 2','place 2','verdict 2','reason 2',2,2,'2026-03-02 12:00:00.000000',1);
CREATE TABLE guess (
	id INTEGER NOT NULL, 
	person_id INTEGER, 
	address VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_guess PRIMARY KEY (id), 
	CONSTRAINT fk_guess_person_id_person FOREIGN KEY(person_id) REFERENCES person (id)
);
INSERT INTO "guess" VALUES(1,1,'address 1','2026-03-02 12:00:00.000000');
INSERT INTO "guess" VALUES(2,2,'address 2','2026-03-02 12:00:00.000000');
CREATE TABLE hazard (
	id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	"energy_J" FLOAT, 
	began_at DATETIME NOT NULL, 
	began_by INTEGER NOT NULL, 
	began_step_id INTEGER NOT NULL, 
	ended_at DATETIME, 
	ended_by INTEGER, 
	ended_step_id INTEGER, 
	made_safe VARCHAR NOT NULL, 
	made_safe_by INTEGER, 
	CONSTRAINT pk_hazard PRIMARY KEY (id), 
	CONSTRAINT fk_hazard_began_by_person FOREIGN KEY(began_by) REFERENCES person (id), 
	CONSTRAINT fk_hazard_began_step_id_step FOREIGN KEY(began_step_id) REFERENCES step (id), 
	CONSTRAINT fk_hazard_ended_by_person FOREIGN KEY(ended_by) REFERENCES person (id), 
	CONSTRAINT fk_hazard_ended_step_id_step FOREIGN KEY(ended_step_id) REFERENCES step (id), 
	CONSTRAINT fk_hazard_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_hazard_made_safe_by_person FOREIGN KEY(made_safe_by) REFERENCES person (id)
);
INSERT INTO "hazard" VALUES(1,1,'kind 1','place 1',1.5,'2026-03-02 12:00:00.000000',1,1,'2026-03-02 12:00:00.000000',1,1,'made_safe 1',1);
INSERT INTO "hazard" VALUES(2,2,'kind 2','place 2',1.5,'2026-03-02 12:00:00.000000',2,2,'2026-03-02 12:00:00.000000',2,2,'made_safe 2',2);
CREATE TABLE hold (
	id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	text VARCHAR NOT NULL, 
	needs_role VARCHAR NOT NULL, 
	opened_at DATETIME NOT NULL, 
	confirmed_at DATETIME, 
	confirmed_by INTEGER, 
	CONSTRAINT pk_hold PRIMARY KEY (id), 
	CONSTRAINT fk_hold_confirmed_by_person FOREIGN KEY(confirmed_by) REFERENCES person (id), 
	CONSTRAINT fk_hold_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_hold_step_id_step FOREIGN KEY(step_id) REFERENCES step (id)
);
INSERT INTO "hold" VALUES(1,1,1,'key 1','text 1','needs_role 1','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000',1);
INSERT INTO "hold" VALUES(2,2,2,'key 2','text 2','needs_role 2','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000',2);
CREATE TABLE job (
	id INTEGER NOT NULL, 
	shop_id INTEGER NOT NULL, 
	vehicle_id INTEGER NOT NULL, 
	bay_id INTEGER, 
	front_end VARCHAR NOT NULL, 
	scopes JSON NOT NULL, 
	sides VARCHAR NOT NULL, 
	drive VARCHAR NOT NULL, 
	opened_at DATETIME NOT NULL, 
	opened_by INTEGER NOT NULL, 
	parked_at DATETIME, 
	parked_by INTEGER, 
	parked_why VARCHAR NOT NULL, 
	released_at DATETIME, 
	released_by INTEGER, 
	CONSTRAINT pk_job PRIMARY KEY (id), 
	CONSTRAINT fk_job_bay_id_bay FOREIGN KEY(bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_job_opened_by_person FOREIGN KEY(opened_by) REFERENCES person (id), 
	CONSTRAINT fk_job_parked_by_person FOREIGN KEY(parked_by) REFERENCES person (id), 
	CONSTRAINT fk_job_released_by_person FOREIGN KEY(released_by) REFERENCES person (id), 
	CONSTRAINT fk_job_shop_id_shop FOREIGN KEY(shop_id) REFERENCES shop (id), 
	CONSTRAINT fk_job_vehicle_id_vehicle FOREIGN KEY(vehicle_id) REFERENCES vehicle (id)
);
INSERT INTO "job" VALUES(1,1,1,1,'front_end 1','[1, 2]','sides 1','drive 1','2026-03-02 12:00:00.000000',1,'2026-03-02 12:00:00.000000',1,'parked_why 1','2026-03-02 12:00:00.000000',1);
INSERT INTO "job" VALUES(2,2,2,2,'front_end 2','[1, 2]','sides 2','drive 2','2026-03-02 12:00:00.000000',2,'2026-03-02 12:00:00.000000',2,'parked_why 2','2026-03-02 12:00:00.000000',2);
CREATE TABLE look (
	id INTEGER NOT NULL, 
	person_id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_look PRIMARY KEY (id), 
	CONSTRAINT fk_look_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_look_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT uq_look_person_id UNIQUE (person_id, job_id)
);
INSERT INTO "look" VALUES(1,1,1,'2026-03-02 12:00:00.000000');
INSERT INTO "look" VALUES(2,2,2,'2026-03-02 12:00:00.000000');
CREATE TABLE person (
	id INTEGER NOT NULL, 
	shop_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	name_key VARCHAR NOT NULL, 
	role VARCHAR NOT NULL, 
	pin_hash VARCHAR NOT NULL, 
	guided BOOLEAN NOT NULL, 
	created_at DATETIME NOT NULL, 
	left_at DATETIME, 
	CONSTRAINT pk_person PRIMARY KEY (id), 
	CONSTRAINT fk_person_shop_id_shop FOREIGN KEY(shop_id) REFERENCES shop (id), 
	CONSTRAINT uq_person_shop_id UNIQUE (shop_id, name_key)
);
INSERT INTO "person" VALUES(1,1,'name 1','name_key 1','role 1','pin_hash 1',0,'2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000');
INSERT INTO "person" VALUES(2,2,'name 2','name_key 2','role 2','pin_hash 2',0,'2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000');
CREATE TABLE photo (
	digest VARCHAR NOT NULL, 
	width INTEGER NOT NULL, 
	height INTEGER NOT NULL, 
	size INTEGER NOT NULL, 
	stored_at DATETIME NOT NULL, 
	CONSTRAINT pk_photo PRIMARY KEY (digest)
);
INSERT INTO "photo" VALUES('digest 1',1,1,1,'2026-03-02 12:00:00.000000');
INSERT INTO "photo" VALUES('digest 2',2,2,2,'2026-03-02 12:00:00.000000');
CREATE TABLE receipt (
	client_id VARCHAR NOT NULL, 
	person_id INTEGER, 
	kind VARCHAR NOT NULL, 
	digest VARCHAR NOT NULL, 
	answer VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_receipt PRIMARY KEY (client_id), 
	CONSTRAINT fk_receipt_person_id_person FOREIGN KEY(person_id) REFERENCES person (id)
);
INSERT INTO "receipt" VALUES('client_id 1',1,'kind 1','digest 1','answer 1','2026-03-02 12:00:00.000000');
INSERT INTO "receipt" VALUES('client_id 2',2,'kind 2','digest 2','answer 2','2026-03-02 12:00:00.000000');
CREATE TABLE shim (
	id INTEGER NOT NULL, 
	shop_id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	thickness_m FLOAT NOT NULL, 
	count INTEGER NOT NULL, 
	CONSTRAINT pk_shim PRIMARY KEY (id), 
	CONSTRAINT fk_shim_shop_id_shop FOREIGN KEY(shop_id) REFERENCES shop (id)
);
INSERT INTO "shim" VALUES(1,1,'text 1',1.5,1);
INSERT INTO "shim" VALUES(2,2,'text 2',1.5,2);
CREATE TABLE shop (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	system VARCHAR NOT NULL, 
	created_at DATETIME NOT NULL, 
	CONSTRAINT pk_shop PRIMARY KEY (id)
);
INSERT INTO "shop" VALUES(1,'name 1','system 1','2026-03-02 12:00:00.000000');
INSERT INTO "shop" VALUES(2,'name 2','system 2','2026-03-02 12:00:00.000000');
CREATE TABLE sign_in (
	id INTEGER NOT NULL, 
	token_hash VARCHAR NOT NULL, 
	form_key VARCHAR NOT NULL, 
	person_id INTEGER NOT NULL, 
	device VARCHAR NOT NULL, 
	created_at DATETIME NOT NULL, 
	seen_at DATETIME NOT NULL, 
	ended_at DATETIME, 
	CONSTRAINT pk_sign_in PRIMARY KEY (id), 
	CONSTRAINT fk_sign_in_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT uq_sign_in_token_hash UNIQUE (token_hash)
);
INSERT INTO "sign_in" VALUES(1,'token_hash 1','form_key 1',1,'device 1','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000');
INSERT INTO "sign_in" VALUES(2,'token_hash 2','form_key 2',2,'device 2','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000','2026-03-02 12:00:00.000000');
CREATE TABLE spec (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	vehicle_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	text VARCHAR NOT NULL, 
	quantity VARCHAR NOT NULL, 
	low FLOAT NOT NULL, 
	high FLOAT NOT NULL, 
	source VARCHAR NOT NULL, 
	generic BOOLEAN NOT NULL, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	supersedes_id INTEGER, 
	reason VARCHAR NOT NULL, 
	CONSTRAINT pk_spec PRIMARY KEY (id), 
	CONSTRAINT fk_spec_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_spec_supersedes_id_spec FOREIGN KEY(supersedes_id) REFERENCES spec (id), 
	CONSTRAINT fk_spec_vehicle_id_vehicle FOREIGN KEY(vehicle_id) REFERENCES vehicle (id), 
	CONSTRAINT uq_spec_client_id UNIQUE (client_id), 
	CONSTRAINT uq_spec_supersedes_id UNIQUE (supersedes_id)
);
INSERT INTO "spec" VALUES(1,'client_id 1',1,'key 1','text 1','quantity 1',1.5,1.5,'source 1',0,1,'2026-03-02 12:00:00.000000',NULL,'reason 1');
INSERT INTO "spec" VALUES(2,'client_id 2',2,'key 2','text 2','quantity 2',1.5,1.5,'source 2',0,2,'2026-03-02 12:00:00.000000',1,'reason 2');
CREATE TABLE step (
	id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	seq INTEGER NOT NULL, 
	operation VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	direction VARCHAR NOT NULL, 
	"after" JSON NOT NULL, 
	state VARCHAR NOT NULL, 
	revision INTEGER NOT NULL, 
	started_at DATETIME, 
	started_by INTEGER, 
	done_at DATETIME, 
	done_by INTEGER, 
	CONSTRAINT pk_step PRIMARY KEY (id), 
	CONSTRAINT fk_step_done_by_person FOREIGN KEY(done_by) REFERENCES person (id), 
	CONSTRAINT fk_step_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_step_started_by_person FOREIGN KEY(started_by) REFERENCES person (id), 
	CONSTRAINT uq_step_job_id UNIQUE (job_id, seq)
);
INSERT INTO "step" VALUES(1,1,1,'operation 1','place 1','direction 1','[1, 2]','state 1',1,'2026-03-02 12:00:00.000000',1,'2026-03-02 12:00:00.000000',1);
INSERT INTO "step" VALUES(2,2,2,'operation 2','place 2','direction 2','[1, 2]','state 2',2,'2026-03-02 12:00:00.000000',2,'2026-03-02 12:00:00.000000',2);
CREATE TABLE tag (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	code VARCHAR NOT NULL, 
	job_id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	part VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	state VARCHAR NOT NULL, 
	shelf VARCHAR NOT NULL, 
	made_at DATETIME NOT NULL, 
	made_by INTEGER NOT NULL, 
	CONSTRAINT pk_tag PRIMARY KEY (id), 
	CONSTRAINT fk_tag_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_tag_made_by_person FOREIGN KEY(made_by) REFERENCES person (id), 
	CONSTRAINT fk_tag_step_id_step FOREIGN KEY(step_id) REFERENCES step (id), 
	CONSTRAINT uq_tag_client_id UNIQUE (client_id), 
	CONSTRAINT uq_tag_code UNIQUE (code), 
	CONSTRAINT uq_tag_job_id UNIQUE (job_id, number)
);
INSERT INTO "tag" VALUES(1,'client_id 1','code 1',1,1,1,'part 1','place 1','state 1','shelf 1','2026-03-02 12:00:00.000000',1);
INSERT INTO "tag" VALUES(2,'client_id 2','code 2',2,2,2,'part 2','place 2','state 2','shelf 2','2026-03-02 12:00:00.000000',2);
CREATE TABLE tag_move (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	tag_id INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	shelf VARCHAR NOT NULL, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_tag_move PRIMARY KEY (id), 
	CONSTRAINT fk_tag_move_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_tag_move_tag_id_tag FOREIGN KEY(tag_id) REFERENCES tag (id), 
	CONSTRAINT uq_tag_move_client_id UNIQUE (client_id)
);
INSERT INTO "tag_move" VALUES(1,'client_id 1',1,'state 1','shelf 1',1,'2026-03-02 12:00:00.000000');
INSERT INTO "tag_move" VALUES(2,'client_id 2',2,'state 2','shelf 2',2,'2026-03-02 12:00:00.000000');
CREATE TABLE target (
	id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	place VARCHAR NOT NULL, 
	value FLOAT, 
	uncertainty FLOAT, 
	quantity VARCHAR NOT NULL, 
	says VARCHAR NOT NULL, 
	formula VARCHAR NOT NULL, 
	source VARCHAR NOT NULL, 
	inputs JSON NOT NULL, 
	capture_ids JSON NOT NULL, 
	spec_ids JSON NOT NULL, 
	at DATETIME NOT NULL, 
	supersedes_id INTEGER, 
	CONSTRAINT pk_target PRIMARY KEY (id), 
	CONSTRAINT fk_target_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_target_supersedes_id_target FOREIGN KEY(supersedes_id) REFERENCES target (id), 
	CONSTRAINT uq_target_supersedes_id UNIQUE (supersedes_id)
);
INSERT INTO "target" VALUES(1,1,'key 1','place 1',1.5,1.5,'quantity 1','says 1','formula 1','source 1','[1, 2]','[1, 2]','[1, 2]','2026-03-02 12:00:00.000000',NULL);
INSERT INTO "target" VALUES(2,2,'key 2','place 2',1.5,1.5,'quantity 2','says 2','formula 2','source 2','[1, 2]','[1, 2]','[1, 2]','2026-03-02 12:00:00.000000',1);
CREATE TABLE torque_record (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	job_id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	fastener VARCHAR NOT NULL, 
	act VARCHAR NOT NULL, 
	stage INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	value FLOAT, 
	low FLOAT, 
	high FLOAT, 
	wrench VARCHAR NOT NULL, 
	setting VARCHAR NOT NULL, 
	paint BOOLEAN NOT NULL, 
	confirmed BOOLEAN NOT NULL, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	supersedes_id INTEGER, 
	reason VARCHAR NOT NULL, 
	CONSTRAINT pk_torque_record PRIMARY KEY (id), 
	CONSTRAINT fk_torque_record_job_id_job FOREIGN KEY(job_id) REFERENCES job (id), 
	CONSTRAINT fk_torque_record_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_torque_record_step_id_step FOREIGN KEY(step_id) REFERENCES step (id), 
	CONSTRAINT fk_torque_record_supersedes_id_torque_record FOREIGN KEY(supersedes_id) REFERENCES torque_record (id), 
	CONSTRAINT uq_torque_record_client_id UNIQUE (client_id), 
	CONSTRAINT uq_torque_record_supersedes_id UNIQUE (supersedes_id)
);
INSERT INTO "torque_record" VALUES(1,'client_id 1',1,1,'fastener 1','act 1',1,'text 1',1.5,1.5,1.5,'wrench 1','setting 1',0,0,1,'2026-03-02 12:00:00.000000',NULL,'reason 1');
INSERT INTO "torque_record" VALUES(2,'client_id 2',2,2,'fastener 2','act 2',2,'text 2',1.5,1.5,1.5,'wrench 2','setting 2',0,0,2,'2026-03-02 12:00:00.000000',1,'reason 2');
CREATE TABLE vehicle (
	id INTEGER NOT NULL, 
	shop_id INTEGER NOT NULL, 
	make VARCHAR NOT NULL, 
	model VARCHAR NOT NULL, 
	year INTEGER, 
	plate VARCHAR NOT NULL, 
	drive VARCHAR NOT NULL, 
	front_end VARCHAR NOT NULL, 
	created_at DATETIME NOT NULL, 
	created_by INTEGER NOT NULL, 
	CONSTRAINT pk_vehicle PRIMARY KEY (id), 
	CONSTRAINT fk_vehicle_created_by_person FOREIGN KEY(created_by) REFERENCES person (id), 
	CONSTRAINT fk_vehicle_shop_id_shop FOREIGN KEY(shop_id) REFERENCES shop (id)
);
INSERT INTO "vehicle" VALUES(1,1,'make 1','model 1',1,'plate 1','drive 1','front_end 1','2026-03-02 12:00:00.000000',1);
INSERT INTO "vehicle" VALUES(2,2,'make 2','model 2',2,'plate 2','drive 2','front_end 2','2026-03-02 12:00:00.000000',2);
CREATE TABLE verification (
	id INTEGER NOT NULL, 
	client_id VARCHAR NOT NULL, 
	record_id INTEGER NOT NULL, 
	person_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_verification PRIMARY KEY (id), 
	CONSTRAINT fk_verification_person_id_person FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_verification_record_id_torque_record FOREIGN KEY(record_id) REFERENCES torque_record (id), 
	CONSTRAINT uq_verification_client_id UNIQUE (client_id), 
	CONSTRAINT uq_verification_record_id UNIQUE (record_id)
);
INSERT INTO "verification" VALUES(1,'client_id 1',1,1,'2026-03-02 12:00:00.000000');
INSERT INTO "verification" VALUES(2,'client_id 2',2,2,'2026-03-02 12:00:00.000000');
CREATE INDEX ix_bay_shop_id ON bay (shop_id);
CREATE INDEX ix_person_shop_id ON person (shop_id);
CREATE INDEX ix_shim_shop_id ON shim (shop_id);
CREATE INDEX ix_guess_address_at ON guess (address, at);
CREATE INDEX ix_guess_person_id_at ON guess (person_id, at);
CREATE INDEX ix_sign_in_person_id ON sign_in (person_id);
CREATE INDEX ix_vehicle_shop_id ON vehicle (shop_id);
CREATE INDEX ix_job_bay_id ON job (bay_id);
CREATE INDEX ix_job_shop_id ON job (shop_id);
CREATE INDEX ix_job_shop_id_released_at ON job (shop_id, released_at);
CREATE INDEX ix_job_vehicle_id ON job (vehicle_id);
CREATE INDEX ix_spec_vehicle_id ON spec (vehicle_id);
CREATE INDEX ix_target_job_id_key ON target (job_id, "key", place);
CREATE INDEX ix_hazard_job_id ON hazard (job_id);
CREATE INDEX ix_hold_job_id ON hold (job_id);
CREATE INDEX ix_hold_step_id ON hold (step_id);
CREATE INDEX ix_tag_step_id ON tag (step_id);
CREATE INDEX ix_torque_record_job_id ON torque_record (job_id);
CREATE INDEX ix_torque_record_step_id ON torque_record (step_id);
CREATE INDEX ix_capture_job_id_key ON capture (job_id, "key");
CREATE INDEX ix_capture_step_id ON capture (step_id);
CREATE INDEX ix_tag_move_tag_id ON tag_move (tag_id);
CREATE INDEX ix_decision_job_id_part ON decision (job_id, part);
CREATE INDEX ix_decision_step_id ON decision (step_id);
CREATE TRIGGER capture_no_update BEFORE UPDATE ON capture
    BEGIN
        SELECT RAISE(ABORT, 'capture is append-only: add a row that supersedes');
    END;
CREATE TRIGGER capture_no_delete BEFORE DELETE ON capture
    BEGIN
        SELECT RAISE(ABORT, 'capture is append-only: add a row that supersedes');
    END;
CREATE TRIGGER photo_no_update BEFORE UPDATE ON photo
    BEGIN
        SELECT RAISE(ABORT, 'photo is append-only: add a row that supersedes');
    END;
CREATE TRIGGER photo_no_delete BEFORE DELETE ON photo
    BEGIN
        SELECT RAISE(ABORT, 'photo is append-only: add a row that supersedes');
    END;
CREATE TRIGGER decision_no_update BEFORE UPDATE ON decision
    BEGIN
        SELECT RAISE(ABORT, 'decision is append-only: add a row that supersedes');
    END;
CREATE TRIGGER decision_no_delete BEFORE DELETE ON decision
    BEGIN
        SELECT RAISE(ABORT, 'decision is append-only: add a row that supersedes');
    END;
CREATE TRIGGER target_no_update BEFORE UPDATE ON target
    BEGIN
        SELECT RAISE(ABORT, 'target is append-only: add a row that supersedes');
    END;
CREATE TRIGGER target_no_delete BEFORE DELETE ON target
    BEGIN
        SELECT RAISE(ABORT, 'target is append-only: add a row that supersedes');
    END;
CREATE TRIGGER torque_record_no_update BEFORE UPDATE ON torque_record
    BEGIN
        SELECT RAISE(ABORT, 'torque_record is append-only: add a row that supersedes');
    END;
CREATE TRIGGER torque_record_no_delete BEFORE DELETE ON torque_record
    BEGIN
        SELECT RAISE(ABORT, 'torque_record is append-only: add a row that supersedes');
    END;
CREATE TRIGGER verification_no_update BEFORE UPDATE ON verification
    BEGIN
        SELECT RAISE(ABORT, 'verification is append-only: add a row that supersedes');
    END;
CREATE TRIGGER verification_no_delete BEFORE DELETE ON verification
    BEGIN
        SELECT RAISE(ABORT, 'verification is append-only: add a row that supersedes');
    END;
CREATE TRIGGER tag_move_no_update BEFORE UPDATE ON tag_move
    BEGIN
        SELECT RAISE(ABORT, 'tag_move is append-only: add a row that supersedes');
    END;
CREATE TRIGGER tag_move_no_delete BEFORE DELETE ON tag_move
    BEGIN
        SELECT RAISE(ABORT, 'tag_move is append-only: add a row that supersedes');
    END;
CREATE TRIGGER spec_no_update BEFORE UPDATE ON spec
    BEGIN
        SELECT RAISE(ABORT, 'spec is append-only: add a row that supersedes');
    END;
CREATE TRIGGER spec_no_delete BEFORE DELETE ON spec
    BEGIN
        SELECT RAISE(ABORT, 'spec is append-only: add a row that supersedes');
    END;
COMMIT;
