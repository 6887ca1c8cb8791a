-- The journal of an invented day as version 1 of the tables and of every fact kept it. Never change this file:
-- when a fact or the tables change, keep a new journal beside it and show that this one still opens.
PRAGMA application_id = 1265922916;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE facts (
                number    INTEGER PRIMARY KEY CHECK (number > 0),
                turn      INTEGER NOT NULL CHECK (turn >= 0),
                elapsed_s REAL    NOT NULL, -- since the day began
                wall      TEXT    NOT NULL, -- ISO 8601 with offset
                utc       TEXT    NOT NULL, -- the same instant
                machine_s REAL    NOT NULL, -- the machine's own counter at writing
                boot_id   TEXT    NOT NULL, -- which start of the machine it counts from
                name      TEXT    NOT NULL,
                version   INTEGER NOT NULL CHECK (version > 0),
                payload   TEXT    NOT NULL, -- ASCII JSON
                checksum  INTEGER NOT NULL  -- CRC-32 of the columns before, as one JSON array
            ) STRICT
            ;
INSERT INTO "facts" VALUES(1,1,0.0,'2026-11-25T09:00:00+01:00','2026-11-25T08:00:00+00:00',5000.0,'0f3c6f0a-1111-4222-8333-444455556666','DayBegun',1,'{"beer": "Hollow Lane", "plan_file": "hollow-lane.toml", "plan_text": "[beer]\nname = \"Hollow Lane\"\n"}',2929484555);
INSERT INTO "facts" VALUES(2,2,4.5,'2026-11-25T09:00:04.500000+01:00','2026-11-25T08:00:04.500000+00:00',5004.5,'0f3c6f0a-1111-4222-8333-444455556666','UtteranceHeard',1,'{"confidence": 1.0, "decision": "accept", "doubt": "", "engine": "keyboard", "noise_dbfs": null, "speech_dbfs": null, "words": "begin"}',3641094898);
INSERT INTO "facts" VALUES(3,2,4.5,'2026-11-25T09:00:04.500000+01:00','2026-11-25T08:00:04.500000+00:00',5004.5,'0f3c6f0a-1111-4222-8333-444455556666','StageReached',1,'{"stage": "strike water"}',4204343694);
INSERT INTO "facts" VALUES(4,3,610.25,'2026-11-25T09:10:10.250000+01:00','2026-11-25T08:10:10.250000+00:00',5610.25,'0f3c6f0a-1111-4222-8333-444455556666','UtteranceHeard',1,'{"confidence": 0.97, "decision": "accept", "doubt": "", "engine": "our own model", "noise_dbfs": -48.5, "speech_dbfs": -21.25, "words": "seventy four"}',34053960);
INSERT INTO "facts" VALUES(5,3,610.25,'2026-11-25T09:10:10.250000+01:00','2026-11-25T08:10:10.250000+00:00',5610.25,'0f3c6f0a-1111-4222-8333-444455556666','TemperatureRead',1,'{"said": "74 \u00b0C", "sd_c": 0.5, "temperature_c": 74.0}',3496919135);
INSERT INTO "facts" VALUES(6,4,700.0,'2026-11-25T09:11:40+01:00','2026-11-25T08:11:40+00:00',5700.0,'0f3c6f0a-1111-4222-8333-444455556666','StageReached',1,'{"stage": "mash"}',2003948917);
INSERT INTO "facts" VALUES(7,4,700.0,'2026-11-25T09:11:40+01:00','2026-11-25T08:11:40+00:00',5700.0,'0f3c6f0a-1111-4222-8333-444455556666','RestStarted',1,'{"index": 0}',1881755981);
INSERT INTO "facts" VALUES(8,4,700.0,'2026-11-25T09:11:40+01:00','2026-11-25T08:11:40+00:00',5700.0,'0f3c6f0a-1111-4222-8333-444455556666','OtherRead',1,'{"kind": "pH", "unit": "pH", "value": "5.2"}',2284276576);
INSERT INTO "facts" VALUES(9,4,700.0,'2026-11-25T09:11:40+01:00','2026-11-25T08:11:40+00:00',5700.0,'0f3c6f0a-1111-4222-8333-444455556666','CallMade',1,'{"key": "rest-1-end", "late_s": 0.75, "occurrence": 1}',4146950928);
INSERT INTO "facts" VALUES(10,5,705.0,'2026-11-25T09:11:45+01:00','2026-11-25T08:11:45+00:00',5705.0,'0f3c6f0a-1111-4222-8333-444455556666','CallSpoken',1,'{"key": "rest-1-end"}',460589923);
INSERT INTO "facts" VALUES(11,5,705.0,'2026-11-25T09:11:45+01:00','2026-11-25T08:11:45+00:00',5705.0,'0f3c6f0a-1111-4222-8333-444455556666','CallAcknowledged',1,'{"key": "rest-1-end"}',3329050814);
INSERT INTO "facts" VALUES(12,6,4200.0,'2026-11-25T10:10:00+01:00','2026-11-25T09:10:00+00:00',9200.0,'0f3c6f0a-1111-4222-8333-444455556666','StageReached',1,'{"stage": "before the boil"}',352060831);
INSERT INTO "facts" VALUES(13,6,4200.0,'2026-11-25T10:10:00+01:00','2026-11-25T09:10:00+00:00',9200.0,'0f3c6f0a-1111-4222-8333-444455556666','VolumeRead',1,'{"cold_l": 26.2, "depth_m": 0.31, "said": "31 cm", "sd_l": 0.3, "volume_l": 26.9}',1087247198);
INSERT INTO "facts" VALUES(14,6,4200.0,'2026-11-25T10:10:00+01:00','2026-11-25T09:10:00+00:00',9200.0,'0f3c6f0a-1111-4222-8333-444455556666','VolumeRead',1,'{"cold_l": 26.2, "depth_m": null, "said": "26.9 L", "sd_l": 0.3, "volume_l": 26.9}',3676730879);
INSERT INTO "facts" VALUES(15,7,4260.0,'2026-11-25T10:11:00+01:00','2026-11-25T09:11:00+00:00',9260.0,'0f3c6f0a-1111-4222-8333-444455556666','GravityWaiting',1,'{"instrument": "hydrometer", "instrument_sg": 1.026, "said": "ten twenty-six"}',1497388061);
INSERT INTO "facts" VALUES(16,7,4260.0,'2026-11-25T10:11:00+01:00','2026-11-25T09:11:00+00:00',9260.0,'0f3c6f0a-1111-4222-8333-444455556666','QuestionAsked',1,'{"candidates": ["1.015", "1.05"], "doubt": "two readings are close", "kind": "gravity", "times": 1, "unit": "SG", "waiting": [["temperature", "64", "\u00b0C"]], "words": "ten fifteen"}',627545460);
INSERT INTO "facts" VALUES(17,8,4275.0,'2026-11-25T10:11:15+01:00','2026-11-25T09:11:15+00:00',9275.0,'0f3c6f0a-1111-4222-8333-444455556666','QuestionClosed',1,'{"reason": "answered"}',1463094937);
INSERT INTO "facts" VALUES(18,8,4275.0,'2026-11-25T10:11:15+01:00','2026-11-25T09:11:15+00:00',9275.0,'0f3c6f0a-1111-4222-8333-444455556666','GravityRead',1,'{"gravity_sg": 1.0446, "instrument": "hydrometer", "instrument_sg": 1.026, "said": "ten twenty-six", "sample_c": 65.55555555555556, "sd_sg": 0.0012}',2827882483);
INSERT INTO "facts" VALUES(19,8,4275.0,'2026-11-25T10:11:15+01:00','2026-11-25T09:11:15+00:00',9275.0,'0f3c6f0a-1111-4222-8333-444455556666','ReadingRefused',1,'{"kind": "gravity", "said": "ten fifty", "why": "no wort is that heavy here"}',557152854);
INSERT INTO "facts" VALUES(20,9,4280.0,'2026-11-25T10:11:20+01:00','2026-11-25T09:11:20+00:00',9280.0,'0f3c6f0a-1111-4222-8333-444455556666','TurnWithdrawn',1,'{"turn": 8}',3092171992);
INSERT INTO "facts" VALUES(21,9,4280.0,'2026-11-25T10:11:20+01:00','2026-11-25T09:11:20+00:00',9280.0,'0f3c6f0a-1111-4222-8333-444455556666','NothingToWithdraw',1,'{}',3630855318);
INSERT INTO "facts" VALUES(22,10,4300.0,'2026-11-25T10:11:40+01:00','2026-11-25T09:11:40+00:00',9300.0,'0f3c6f0a-1111-4222-8333-444455556666','AdviceGiven',1,'{"kinds": ["longer", "extract", "leave"], "results_sg": [1.044, 1.044, 1.038], "sizes": [18.0, 0.41, 0.0]}',2296675326);
INSERT INTO "facts" VALUES(23,10,4300.0,'2026-11-25T10:11:40+01:00','2026-11-25T09:11:40+00:00',9300.0,'0f3c6f0a-1111-4222-8333-444455556666','AdviceChosen',1,'{"kind": "extract", "size": 0.41}',78805939);
INSERT INTO "facts" VALUES(24,11,4500.0,'2026-11-25T10:15:00+01:00','2026-11-25T09:15:00+00:00',9500.0,'0f3c6f0a-1111-4222-8333-444455556666','StageReached',1,'{"stage": "boil"}',912608442);
INSERT INTO "facts" VALUES(25,11,4500.0,'2026-11-25T10:15:00+01:00','2026-11-25T09:15:00+00:00',9500.0,'0f3c6f0a-1111-4222-8333-444455556666','BoilStarted',1,'{"minutes": 75.0}',1261527891);
INSERT INTO "facts" VALUES(26,11,4500.0,'2026-11-25T10:15:00+01:00','2026-11-25T09:15:00+00:00',9500.0,'0f3c6f0a-1111-4222-8333-444455556666','CallSkipped',1,'{"key": "foam"}',3470706700);
INSERT INTO "facts" VALUES(27,11,4500.0,'2026-11-25T10:15:00+01:00','2026-11-25T09:15:00+00:00',9500.0,'0f3c6f0a-1111-4222-8333-444455556666','CallDropped',1,'{"key": "first-wort", "late_s": 12.5, "why": "overtaken"}',1062176368);
INSERT INTO "facts" VALUES(28,12,5000.0,'2026-11-25T10:23:20+01:00','2026-11-25T09:23:20+00:00',10000.0,'0f3c6f0a-1111-4222-8333-444455556666','BoilHeld',1,'{}',356471070);
INSERT INTO "facts" VALUES(29,12,5000.0,'2026-11-25T10:23:20+01:00','2026-11-25T09:23:20+00:00',10000.0,'0f3c6f0a-1111-4222-8333-444455556666','BoilResumed',1,'{}',3943237005);
INSERT INTO "facts" VALUES(30,12,5000.0,'2026-11-25T10:23:20+01:00','2026-11-25T09:23:20+00:00',10000.0,'0f3c6f0a-1111-4222-8333-444455556666','BoilChanged',1,'{"minutes": -5.0}',1844799044);
INSERT INTO "facts" VALUES(31,13,5300.0,'2026-11-25T10:28:20+01:00','2026-11-25T09:28:20+00:00',10300.0,'0f3c6f0a-1111-4222-8333-444455556666','DayResumed',1,'{"away_s": 240.0, "clock_trusted": true}',2259049163);
INSERT INTO "facts" VALUES(32,13,5300.0,'2026-11-25T10:28:20+01:00','2026-11-25T09:28:20+00:00',10300.0,'0f3c6f0a-1111-4222-8333-444455556666','ItemWet',1,'{"name": "fermenter"}',1587191104);
INSERT INTO "facts" VALUES(33,13,5300.0,'2026-11-25T10:28:20+01:00','2026-11-25T09:28:20+00:00',10300.0,'0f3c6f0a-1111-4222-8333-444455556666','InformationAsked',1,'{"command": "how long"}',1787939765);
INSERT INTO "facts" VALUES(34,13,5300.0,'2026-11-25T10:28:20+01:00','2026-11-25T09:28:20+00:00',10300.0,'0f3c6f0a-1111-4222-8333-444455556666','OrderRefused',1,'{"command": "knockout", "why": "The boil is not on."}',2409773424);
INSERT INTO "facts" VALUES(35,14,5400.0,'2026-11-25T10:30:00+01:00','2026-11-25T09:30:00+00:00',10400.0,'0f3c6f0a-1111-4222-8333-444455556666','NoteTaken',1,'{"sound_file": "note-1.wav", "words": "caf\u00e9 \ud83c\udf7a smell"}',3811292910);
INSERT INTO "facts" VALUES(36,14,5400.0,'2026-11-25T10:30:00+01:00','2026-11-25T09:30:00+00:00',10400.0,'0f3c6f0a-1111-4222-8333-444455556666','VoiceChanged',1,'{"step": -1}',2614951609);
INSERT INTO "facts" VALUES(37,14,5400.0,'2026-11-25T10:30:00+01:00','2026-11-25T09:30:00+00:00',10400.0,'0f3c6f0a-1111-4222-8333-444455556666','DeviceReported',1,'{"device": "microphone", "sentence": "The microphone went quiet.", "working": false}',3993004748);
CREATE TABLE schema_steps (
                number INTEGER PRIMARY KEY,
                what   TEXT NOT NULL
            ) STRICT
            ;
INSERT INTO "schema_steps" VALUES(1,'facts that are only ever added');
CREATE TRIGGER facts_are_never_changed BEFORE UPDATE ON facts
            BEGIN SELECT RAISE(ABORT, 'a fact in the journal is never changed'); END;
CREATE TRIGGER facts_are_never_removed BEFORE DELETE ON facts
            BEGIN SELECT RAISE(ABORT, 'a fact in the journal is never removed'); END;
CREATE TRIGGER facts_are_added_in_order BEFORE INSERT ON facts
            WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM facts)
            BEGIN SELECT RAISE(ABORT, 'a fact takes the next number'); END;
COMMIT;
