// Generated from the server's OpenAPI description by `make types`. Do not edit.

export interface paths {
    "/api/assemblies/{id}/history": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How an assembly came to be where it is */
        get: operations["history"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/backlog": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Failures by days left to their deadlines */
        get: operations["backlog"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/crews/{crew}/days/{date}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A crew's day, with all it needs without signal */
        get: operations["crew-day"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A day as planned or sent out */
        get: operations["day"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/plan": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Start planning a day */
        post: operations["plan-day"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/plan/stop": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Stop planning and keep the best plan so far */
        post: operations["stop-planning"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/send-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Send out the plan that was seen */
        post: operations["send-out"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/take-back": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take a sent-out day back */
        post: operations["take-back"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/wishes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Hold, move or leave out a visit */
        post: operations["wish"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/desk": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Record one thing the office did */
        post: operations["desk"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/field": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Record one thing from the field */
        post: operations["field"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/intake/lists": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Read a purveyor's due list; nothing is taken in yet */
        post: operations["read-list"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/intake/lists/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A list that was read */
        get: operations["list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/intake/lists/{id}/mapping": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Change how columns are read */
        post: operations["map-list"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/intake/lists/{id}/rejected.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The rows that were not taken, to mend and send again */
        get: operations["rejected-rows"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/intake/lists/{id}/take": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take a list in */
        post: operations["take-list"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/left-off": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What is shut, partly open or impaired */
        get: operations["left-off"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/live": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What changes, as it changes */
        get: operations["live"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/office": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What every page needs first */
        get: operations["office"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        BacklogHistoryEntry: {
            alarm?: boolean;
            /** Format: date-time */
            happened: string;
            /** @description the event's name in the log */
            name: string;
            /** Format: int64 */
            position: number;
            /** Format: date-time */
            recorded: string;
            void?: boolean;
            who: string;
            words: string;
        };
        BacklogHistoryView: {
            /** @description oldest first */
            entries: components["schemas"]["BacklogHistoryEntry"][] | null;
            job: components["schemas"]["WordsJob"];
            site: components["schemas"]["WordsSite"];
        };
        BacklogLeftOff: {
            /** Format: date-time */
            now: string;
            rows: components["schemas"]["BacklogLeftOffRow"][] | null;
        };
        BacklogLeftOffRow: {
            by?: string;
            decides?: string;
            dry_now: boolean;
            feed: string;
            fire: boolean;
            name: string;
            /** Format: date-time */
            on_test_until?: string;
            restores?: string;
            /**
             * @description in-service: with a shut-off that is not wholly open
             * @enum {string}
             */
            service: "in-service" | "impaired" | "shut";
            /** Format: date-time */
            since: string;
            site: components["schemas"]["WordsSite"];
            told?: string[] | null;
            valves: components["schemas"]["EventsValve"][] | null;
            words?: string;
        };
        BacklogPlannedFor: {
            /** @description false also where the deadline is not known */
            before_deadline: boolean;
            /** @description its letter */
            crew: string;
            date: string;
            sent_out: boolean;
        };
        BacklogRow: {
            as_left?: string;
            assembly: string;
            /**
             * Format: int64
             * @description to the retest deadline, else to the due date; none: not known, ask
             */
            days_left?: number;
            due?: string;
            failed_on?: string;
            hazard?: string;
            job: string;
            kind: string;
            /** @description repair kits on record that fit */
            kit_codes?: string[] | null;
            /**
             * Format: int64
             * @description with the water off or at the unit, without travel and paper
             */
            minutes: number;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            phone_by?: components["schemas"]["EventsDeadline"];
            place?: string;
            planned?: components["schemas"]["BacklogPlannedFor"];
            purveyor: string;
            purveyor_number?: string;
            retest_by?: components["schemas"]["EventsDeadline"];
            serial?: string;
            service?: string;
            site: components["schemas"]["WordsSite"];
            size?: string;
            stage: string;
            type: string;
            type_name: string;
            /** @enum {string} */
            waits_for: "parts" | "access" | "slot" | "owner" | "way" | "purveyor";
            waits_words: string;
            words?: string;
            /** @description in words: test; repair and retest */
            work?: string;
            yes_to_repair?: string;
        };
        BacklogView: {
            /** @description of rows: open, past, unknown, soon (due within 7 days without a visit planned in time), and by what they wait for */
            counts: {
                [key: string]: number;
            };
            headline: string;
            /** Format: date-time */
            now: string;
            /** @description stopped, returned reports, reports to send again */
            others: components["schemas"]["BacklogRow"][] | null;
            /** @description by days left, past ones first, unknown deadlines at the top */
            rows: components["schemas"]["BacklogRow"][] | null;
        };
        BeatMessage: {
            /** Format: date-time */
            now: string;
        };
        ChangeMessage: {
            /** @description days that changed */
            dates?: string[] | null;
            /** @description of entity; resync: everything */
            kinds: string[] | null;
            /** Format: int64 */
            position: number;
        };
        ColumnView: {
            field?: string;
            header: string;
            /** Format: int64 */
            index: number;
            samples?: string[] | null;
            /** @description how sure, in words */
            sure?: string;
            why?: string;
        };
        CrewComponent: {
            component: string;
            name: string;
            part: string;
        };
        CrewContact: {
            name: string;
            phone?: string;
            role: string;
        };
        CrewFeed: {
            as_left?: string;
            /** Format: date-time */
            dry_since?: string;
            fire?: boolean;
            id: string;
            name: string;
            /** @description a feed that must be proved open and flowing before this one is shut */
            other?: string;
            valves: string[] | null;
        };
        CrewGauge: {
            certified_until: string;
            id: string;
            serial: string;
            valid: boolean;
            words?: string;
        };
        CrewPerson: {
            id: string;
            name: string;
        };
        CrewRequest: {
            actor?: string;
            assembly?: string;
            /**
             * Format: int64
             * @description the phone's clock minus the server's, at the last sync
             */
            clock_offset_ms?: number;
            command_id: string;
            condition?: components["schemas"]["EventsCondition"];
            crew: string;
            day: string;
            feed?: string;
            final?: components["schemas"]["EventsTest"];
            /**
             * Format: date-time
             * @description by the phone's clock
             */
            happened: string;
            initial?: components["schemas"]["EventsTest"];
            job?: string;
            jobs?: components["schemas"]["EventsJobRef"][] | null;
            /** @enum {string} */
            kind: "arrive" | "leave" | "no-access" | "shut-off" | "restore" | "leave-feed" | "finish-job";
            new?: components["schemas"]["EventsReplaced"];
            outcome?: string;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            repair?: components["schemas"]["EventsRepaired"];
            seen?: string;
            site?: string;
            why?: string;
            words?: string;
        };
        CrewStop: {
            access: components["schemas"]["WordsSpan"][] | null;
            access_words?: string;
            /** Format: date-time */
            arrive: string;
            bring: string[] | null;
            cautions: string[] | null;
            contacts: components["schemas"]["CrewContact"][] | null;
            /** Format: int64 */
            drive_m: number;
            /**
             * Format: int64
             * @description from the stop before, or from home
             */
            drive_s: number;
            /** @description names the part of the site in wishes; empty: the whole */
            feed?: string;
            feeds: components["schemas"]["CrewFeed"][] | null;
            /** Format: date-time */
            here_since?: string;
            hold: boolean;
            jobs: components["schemas"]["WordsJob"][] | null;
            /** @description names the visit within its day: the site, and the part of it where it is visited in parts */
            key: string;
            /** Format: date-time */
            leave: string;
            /** Format: date-time */
            left_at?: string;
            little_slack: boolean;
            notes?: string[] | null;
            /**
             * Format: int64
             * @description from 1
             */
            order: number;
            site: components["schemas"]["WordsSite"];
            /**
             * Format: int64
             * @description how much later it could begin within its own windows
             */
            slack_s: number;
            /** @description on a sent-out day, in words: at the site since 07:02, done 07:41 */
            state?: string;
            /** Format: int64 */
            wait_s: number;
            water_off: components["schemas"]["WordsWaterOff"][] | null;
            work: components["schemas"]["CrewWork"][] | null;
        };
        CrewTypeView: {
            components: components["schemas"]["CrewComponent"][] | null;
            name: string;
            type: string;
        };
        CrewView: {
            /** @description for the whole day */
            bring: string[] | null;
            could_not_reasons: string[] | null;
            crew: components["schemas"]["WordsCrew"];
            /** @description the criteria profiles, as the server judges by */
            criteria: unknown;
            date: string;
            /** Format: date-time */
            end?: string;
            gauges: components["schemas"]["CrewGauge"][] | null;
            /** Format: date-time */
            now: string;
            /** @description who may be the tester */
            people: components["schemas"]["CrewPerson"][] | null;
            /** Format: int64 */
            position: number;
            procedures: string[] | null;
            /** Format: date-time */
            sent_at?: string;
            /** Format: date-time */
            start?: string;
            /** @enum {string} */
            status: "not-sent" | "sent-out" | "taken-back";
            stops: components["schemas"]["CrewStop"][] | null;
            types: components["schemas"]["CrewTypeView"][] | null;
            zone: string;
        };
        CrewWork: {
            assembly: string;
            bypass?: string;
            components: components["schemas"]["CrewComponent"][] | null;
            /**
             * Format: int64
             * @description to the retest deadline, else to the due date; none: not known, ask
             */
            days_left?: number;
            due?: string;
            failure?: string;
            feed: string;
            hazard?: string;
            job: string;
            kind: string;
            /** @description codes that may be asked for */
            kit_codes?: string[] | null;
            kits?: string[] | null;
            last_tests?: components["schemas"]["EventsTestTaken"][] | null;
            maker?: string;
            /**
             * Format: int64
             * @description with the water off or at the unit, without travel and paper
             */
            minutes: number;
            model?: string;
            /** @description once the server knows it */
            outcome?: string;
            place?: string;
            profile: string;
            purveyor: string;
            purveyor_number?: string;
            retest_by?: components["schemas"]["EventsDeadline"];
            serial?: string;
            service?: string;
            size?: string;
            stage: string;
            type: string;
            type_name: string;
            /** @description in words: test; repair and retest */
            work?: string;
            /** @description in words; empty: the unit is not opened */
            yes_to_repair?: string;
        };
        DeskRequest: {
            assembly?: string;
            basis?: string;
            command_id: string;
            confirmation?: string;
            crew?: string;
            date?: string;
            feed?: string;
            /** Format: date-time */
            from?: string;
            gauge?: string;
            how?: string;
            job?: string;
            /** @enum {string} */
            kind: "yes-to-repair" | "want-parts" | "ready-parts" | "clear-way" | "set-standing" | "withdraw" | "file-report" | "accept-report" | "return-report" | "give-notice" | "agree-time" | "restore-feed" | "crew-off" | "crew-back" | "drop-gauge" | "verify-gauge";
            /** Format: int64 */
            limit_usd?: number;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            site?: string;
            standing?: string;
            /** Format: date-time */
            to?: string;
            where?: string;
            words?: string;
        };
        DispatchCostPart: {
            name: string;
            /** Format: double */
            usd: number;
        };
        DispatchCostPoint: {
            /** Format: double */
            seconds: number;
            /** Format: double */
            usd: number;
        };
        DispatchCounts: {
            /** Format: int64 */
            done: number;
            /** Format: int64 */
            left_out: number;
            /** Format: int64 */
            planned: number;
        };
        DispatchLeftOut: {
            /** @description the cheapest change that would fit it */
            change?: string;
            /** Format: int64 */
            days_left?: number;
            feed?: string;
            jobs: components["schemas"]["WordsJob"][] | null;
            key: string;
            /** Format: int64 */
            minutes: number;
            /** @description it could be put on a route by hand */
            plannable: boolean;
            reason: string;
            /** @description which rule binds, in a word */
            rule: string;
            site: components["schemas"]["WordsSite"];
            /** @description left out by the dispatcher */
            wished: boolean;
        };
        DispatchRefusal: {
            crew?: string;
            job?: string;
            rule: string;
            site?: string;
            words: string;
        };
        DispatchRoute: {
            crew: components["schemas"]["WordsCrew"];
            /** Format: int64 */
            drive_m: number;
            /** Format: int64 */
            drive_s: number;
            /** Format: date-time */
            end: string;
            /** Format: int64 */
            home_drive_m: number;
            /**
             * Format: int64
             * @description the last leg
             */
            home_drive_s: number;
            /** @description working time */
            hours: components["schemas"]["WordsSpan"][] | null;
            /** Format: int64 */
            overtime_s: number;
            /** Format: date-time */
            start: string;
            visits: components["schemas"]["WordsVisit"][] | null;
        };
        DispatchSearching: {
            /** Format: double */
            budget_seconds: number;
            /** @description best so far against time */
            cost: components["schemas"]["DispatchCostPoint"][] | null;
            date: string;
            /**
             * Format: double
             * @description since it began
             */
            seconds: number;
            /** @description collecting, solving, explaining, checking, done */
            step: string;
            /** Format: int64 */
            visits_planned: number;
        };
        DispatchView: {
            /** @description what has changed under a day that is out, so that it should be amended */
            amend?: components["schemas"]["DispatchRefusal"][] | null;
            costs: components["schemas"]["DispatchCostPart"][] | null;
            crews: components["schemas"]["WordsCrew"][] | null;
            date: string;
            /** @description of the plan shown; send-out names it, so that what is sent is what was seen */
            digest?: string;
            headline: string;
            jobs: components["schemas"]["DispatchCounts"];
            left_out: components["schemas"]["DispatchLeftOut"][] | null;
            /**
             * Format: int64
             * @description of the book the plan was made on
             */
            position: number;
            progress?: components["schemas"]["DispatchSearching"];
            /** @description what the independent checker says against the plan */
            refusals?: components["schemas"]["DispatchRefusal"][] | null;
            routes: components["schemas"]["DispatchRoute"][] | null;
            /** Format: date-time */
            sent_at?: string;
            /** @description travel model and other settings in words */
            settings: string[] | null;
            /** @description why the plan should be made again */
            stale?: string;
            /** @enum {string} */
            status: "empty" | "planning" | "proposed" | "sent-out";
            /** Format: double */
            total_usd: number;
            wishes?: components["schemas"]["DispatchWish"][] | null;
            zone: string;
        };
        DispatchWish: {
            crew?: string;
            feed?: string;
            hold?: boolean;
            name: string;
            out?: boolean;
            /** Format: int64 */
            place?: number;
            site: string;
            why?: string;
        };
        ErrorDetail: {
            /** @description Where the error occurred, e.g. 'body.items[3].tags' or 'path.thing-id' */
            location?: string;
            /** @description Error message text */
            message?: string;
            /** @description The value at the given location */
            value?: unknown;
        };
        ErrorModel: {
            /**
             * @description A human-readable explanation specific to this occurrence of the problem.
             * @example Property foo is required but is missing.
             */
            detail?: string;
            /** @description Optional list of individual error details */
            errors?: components["schemas"]["ErrorDetail"][] | null;
            /**
             * Format: uri
             * @description A URI reference that identifies the specific occurrence of the problem.
             * @example https://example.com/error-log/abc123
             */
            instance?: string;
            /**
             * Format: int64
             * @description HTTP status code
             * @example 400
             */
            status?: number;
            /**
             * @description A short, human-readable summary of the problem type. This value should not change between occurrences of the error.
             * @example Bad Request
             */
            title?: string;
            /**
             * Format: uri
             * @description A URI reference to human-readable documentation for the error.
             * @default about:blank
             * @example https://example.com/errors/example
             */
            type: string;
        };
        EventsCondition: {
            decides?: string;
            /** Format: date-time */
            on_test_until?: string;
            restores?: string;
            service: string;
            told?: string[] | null;
            valves?: components["schemas"]["EventsValve"][] | null;
            words?: string;
        };
        EventsDeadline: {
            /** Format: date-time */
            at?: string;
            known: boolean;
            on?: string;
            rule: string;
        };
        EventsFinding: {
            component: string;
            criterion: string;
            mark?: string;
            message: string;
            part: string;
            source?: string;
            status: string;
        };
        EventsGapAt: {
            beside_wall: boolean;
            supply_diameter: string;
        };
        EventsJobRef: {
            assembly: string;
            job: string;
        };
        EventsPartWanted: {
            code: string;
            component?: string;
            item?: string;
            part?: string;
            promised?: string;
            where?: string;
        };
        EventsReading: {
            component: string;
            fully_open?: boolean;
            gap_at?: components["schemas"]["EventsGapAt"];
            number?: string;
            part: string;
            phase: string;
            procedure?: string;
            result?: string;
            unit?: string;
        };
        EventsRepaired: {
            cleaned?: boolean;
            crew?: string;
            fitted?: components["schemas"]["EventsPartWanted"][] | null;
            job: string;
            words?: string;
        };
        EventsReplaced: {
            crew?: string;
            job: string;
            maker?: string;
            model?: string;
            old_serial?: string;
            on: string;
            serial: string;
            size?: string;
            type: string;
        };
        EventsTest: {
            /** Format: date-time */
            at: string;
            computed?: components["schemas"]["EventsVerdict"];
            gauge: string;
            line_pressure?: string;
            line_pressure_unit?: string;
            no_flow_proved?: boolean;
            procedure: string;
            profile?: string;
            readings: components["schemas"]["EventsReading"][] | null;
            says: string;
            shut_off_1?: string;
            shut_off_2?: string;
            tester: string;
        };
        EventsTestTaken: {
            /** Format: date-time */
            at: string;
            computed?: components["schemas"]["EventsVerdict"];
            crew?: string;
            event: string;
            gauge: string;
            line_pressure?: string;
            line_pressure_unit?: string;
            no_flow_proved?: boolean;
            procedure: string;
            profile?: string;
            readings: components["schemas"]["EventsReading"][] | null;
            says: string;
            shut_off_1?: string;
            shut_off_2?: string;
            tester: string;
        };
        EventsValve: {
            name: string;
            state: string;
        };
        EventsVerdict: {
            buffer?: string;
            buffer_unit?: string;
            bypass_buffer?: string;
            complete: boolean;
            fail: boolean;
            findings: components["schemas"]["EventsFinding"][] | null;
            pass: boolean;
            profile: string;
        };
        FaultView: {
            /** Format: int64 */
            col?: number;
            column?: string;
            file?: string;
            problem: string;
            question?: boolean;
            /** Format: int64 */
            row: number;
            sheet?: string;
            value?: string;
            what_to_do?: string;
        };
        FieldView: {
            key: string;
            name: string;
        };
        ListRowView: {
            /** @enum {string} */
            action: "new" | "moved" | "unchanged" | "not-credited" | "ask" | "not-ours" | "added";
            address?: string;
            assembly?: string;
            /** @description where list and record disagree; nothing is overwritten */
            differs?: string[] | null;
            due?: string;
            number?: string;
            /** Format: int64 */
            row: number;
            words: string;
        };
        ListView: {
            as_of: string;
            columns: components["schemas"]["ColumnView"][] | null;
            counts: {
                [key: string]: number;
            };
            /** @enum {string} */
            date_order?: "month-first" | "day-first" | "";
            /** @description what a column may be */
            fields: components["schemas"]["FieldView"][] | null;
            file: string;
            id: string;
            /** @description the mapping was used before for this purveyor */
            mapping_saved: boolean;
            /** @description assemblies of this purveyor with an open job that the list does not name */
            missing: string[] | null;
            purveyor: string;
            /** @description to be answered before the list can be taken in */
            questions?: components["schemas"]["QuestionView"][] | null;
            rejected: components["schemas"]["FaultView"][] | null;
            /** @description at most 500 */
            rows: components["schemas"]["ListRowView"][] | null;
            sheet?: string;
            skipped: components["schemas"]["FaultView"][] | null;
            taken: boolean;
            warnings: components["schemas"]["FaultView"][] | null;
        };
        MappingRequest: {
            /** @description column index as text → field; empty field: not read */
            columns: {
                [key: string]: string;
            };
            /** @enum {string} */
            date_order?: "month-first" | "day-first" | "";
        };
        OfficeView: {
            crews: components["schemas"]["WordsCrew"][] | null;
            name: string;
            /** @description to be shown on every page */
            notice?: string;
            /** Format: date-time */
            now: string;
            office: string;
            purveyors: components["schemas"]["PurveyorView"][] | null;
            today: string;
            /** @description the next day on which any crew works */
            tomorrow: string;
            zone: string;
        };
        PlanRequest: {
            /**
             * Format: double
             * @description for the search; the default suits the demo
             */
            seconds?: number;
        };
        PointShape: {
            /** Format: double */
            lat: number;
            /** Format: double */
            lon: number;
        };
        PurveyorView: {
            id: string;
            name: string;
            /** @description its clocks in words */
            rules: string;
        };
        QuestionView: {
            choices?: string[] | null;
            columns?: number[] | null;
            key: string;
            text: string;
        };
        Receipt: {
            alarms?: string[] | null;
            /** Format: date-time */
            now: string;
            /** Format: int64 */
            position: number;
            /** @description it was known already; nothing changed */
            repeated: boolean;
        };
        SendRequest: {
            command_id: string;
            digest: string;
        };
        TakeBackRequest: {
            command_id: string;
            why?: string;
        };
        TakeRequest: {
            command_id: string;
        };
        WishRequest: {
            command_id: string;
            crew?: string;
            /** @description leave the visit to the planner again */
            drop?: boolean;
            feed?: string;
            hold?: boolean;
            out?: boolean;
            /**
             * Format: int64
             * @description from 1; 0: wherever it fits best
             */
            place?: number;
            site: string;
            why?: string;
        };
        WordsCrew: {
            home: components["schemas"]["PointShape"];
            id: string;
            letter: string;
            name: string;
            /** @description why it does not work on the day asked about */
            off?: string;
            /** @description names, from the details kept apart from the log */
            people: string[] | null;
        };
        WordsJob: {
            assembly: string;
            /**
             * Format: int64
             * @description to the retest deadline, else to the due date; none: not known, ask
             */
            days_left?: number;
            due?: string;
            hazard?: string;
            job: string;
            kind: string;
            /**
             * Format: int64
             * @description with the water off or at the unit, without travel and paper
             */
            minutes: number;
            place?: string;
            purveyor: string;
            purveyor_number?: string;
            retest_by?: components["schemas"]["EventsDeadline"];
            serial?: string;
            service?: string;
            size?: string;
            stage: string;
            type: string;
            type_name: string;
            /** @description in words: test; repair and retest */
            work?: string;
        };
        WordsSite: {
            address?: string;
            customer?: string;
            id: string;
            name: string;
            neighbourhood?: string;
            position: components["schemas"]["PointShape"];
            position_source?: string;
            use?: string;
            zone: string;
        };
        WordsSpan: {
            /** Format: date-time */
            close: string;
            /** Format: date-time */
            open: string;
        };
        WordsVisit: {
            access: components["schemas"]["WordsSpan"][] | null;
            /** Format: date-time */
            arrive: string;
            /** Format: int64 */
            drive_m: number;
            /**
             * Format: int64
             * @description from the stop before, or from home
             */
            drive_s: number;
            /** @description names the part of the site in wishes; empty: the whole */
            feed?: string;
            hold: boolean;
            jobs: components["schemas"]["WordsJob"][] | null;
            /** @description names the visit within its day: the site, and the part of it where it is visited in parts */
            key: string;
            /** Format: date-time */
            leave: string;
            little_slack: boolean;
            notes?: string[] | null;
            /**
             * Format: int64
             * @description from 1
             */
            order: number;
            site: components["schemas"]["WordsSite"];
            /**
             * Format: int64
             * @description how much later it could begin within its own windows
             */
            slack_s: number;
            /** @description on a sent-out day, in words: at the site since 07:02, done 07:41 */
            state?: string;
            /** Format: int64 */
            wait_s: number;
            water_off: components["schemas"]["WordsWaterOff"][] | null;
        };
        WordsWaterOff: {
            feed: string;
            fire?: boolean;
            /** Format: date-time */
            from: string;
            name: string;
            /** Format: date-time */
            to: string;
            /** @description the shutdown windows of the day */
            windows: components["schemas"]["WordsSpan"][] | null;
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export interface operations {
    history: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["BacklogHistoryView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    backlog: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["BacklogView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "crew-day": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
                crew: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CrewView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    day: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "plan-day": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PlanRequest"];
            };
        };
        responses: {
            /** @description Accepted */
            202: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "stop-planning": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "send-out": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SendRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "take-back": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["TakeBackRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    wish: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                date: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WishRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    desk: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["DeskRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Receipt"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    field: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CrewRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Receipt"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "read-list": {
        parameters: {
            query: {
                /** @description name of the file */
                file: string;
                purveyor: string;
                /** @description the day the list speaks for */
                as_of: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/octet-stream": string;
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ListView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    list: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ListView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "map-list": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["MappingRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ListView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "rejected-rows": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "take-list": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["TakeRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ListView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "left-off": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["BacklogLeftOff"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    live: {
        parameters: {
            query?: never;
            header?: {
                "Last-Event-ID"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/event-stream": ({
                        data: components["schemas"]["BeatMessage"];
                        /**
                         * @description The event name.
                         * @constant
                         */
                        event: "beat";
                        /** @description The event ID. */
                        id?: number;
                        /** @description The retry time in milliseconds. */
                        retry?: number;
                    } | {
                        data: components["schemas"]["ChangeMessage"];
                        /**
                         * @description The event name.
                         * @constant
                         */
                        event: "changed";
                        /** @description The event ID. */
                        id?: number;
                        /** @description The retry time in milliseconds. */
                        retry?: number;
                    } | {
                        data: components["schemas"]["DispatchSearching"];
                        /**
                         * @description The event name.
                         * @constant
                         */
                        event: "planning";
                        /** @description The event ID. */
                        id?: number;
                        /** @description The retry time in milliseconds. */
                        retry?: number;
                    })[];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    office: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OfficeView"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
}
