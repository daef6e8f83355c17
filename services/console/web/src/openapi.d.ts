// Generated from the server's OpenAPI description by `make types`. Do not edit.

export interface paths {
    "/api/accounts": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Who may sign in, and as what */
        get: operations["accounts"];
        put?: never;
        /** Let a person sign in */
        post: operations["open-account"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{person}/close": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Let a person sign in no more, and end their sessions and phones */
        post: operations["close-account"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{person}/invite": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Make a link by which a person sets a password, for instance because it was forgotten */
        post: operations["invite"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{person}/roles": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        /** Say what a person may do */
        put: operations["set-roles"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What was recorded in the field and looks impossible: open, and settled within a week */
        get: operations["alarms"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
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
    "/api/assemblies/{id}/jobs/{job}/fits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where a job would fit today and on the next working day */
        get: operations["job-fits"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/assemblies/{id}/jobs/{job}/form": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What is needed to key in the result of a job from a signed paper, or to correct its readings */
        get: operations["paper-form"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/assemblies/{id}/jobs/{job}/report": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The test report of one job */
        get: operations["report"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/assemblies/{id}/jobs/{job}/report.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The test report of one job as PDF */
        get: operations["report-pdf"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/attachments": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Keep a file, such as the copy of a signed report; sent twice it is kept once */
        post: operations["attach"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/attachments/{hash}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A kept file */
        get: operations["attachment"];
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
    "/api/bulk/{kind}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Say what an edited file would change, cell by cell; nothing is taken yet */
        post: operations["bulk-read"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/bulk/{kind}/records.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every record of a kind as a file for a spreadsheet */
        get: operations["bulk-file"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/bulk/{kind}/take": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take the very differences that were seen */
        post: operations["bulk-take"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendars/agreed.ics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Times agreed with sites as iCalendar */
        get: operations["agreed-calendar"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendars/crews/{crew}.ics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A crew's sent-out visits as iCalendar */
        get: operations["crew-calendar"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendars/feeds/{feed}.ics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The shutdown windows of a feed as iCalendar, worked out for two years */
        get: operations["feed-hours-calendar"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendars/sites/{site}.ics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The access hours of a site and the shutdown windows of its feeds as iCalendar, worked out for two years */
        get: operations["site-hours-calendar"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calls": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Whom to call about the work of the coming weeks */
        get: operations["calls"];
        put?: never;
        /** Record how a call ended; what was agreed becomes a promise */
        post: operations["note-call"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calls/bookings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Record what those said who were asked to come; where they come, the planner keeps within it */
        post: operations["ask-booking"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calls/withdraw-time": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Record that a time agreed holds no more */
        post: operations["withdraw-time"];
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
    "/api/days/{date}/amend": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take one visit off a day that is out, put one on, or give it another crew or place; what has begun stays */
        post: operations["change-out"];
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
    "/api/days/{date}/rest": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Plan what is left of a day that is out, from where its crews are; nothing is recorded */
        post: operations["plan-rest"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/rest/send-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Send out the plan of the rest of a day that was seen */
        post: operations["send-rest"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/days/{date}/route-sheets.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Route sheets of a sent-out day, one page a crew, as PDF */
        get: operations["route-sheets"];
        put?: never;
        post?: never;
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
    "/api/days/{date}/suppose": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Say what would be otherwise on the day, proposed or out, if something were so; nothing is recorded */
        post: operations["suppose"];
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
    "/api/days/{date}/undo": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Put the plan and the wishes of a day back to before the last change */
        post: operations["undo"];
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
    "/api/expiries": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Certificates, registrations, licences and gauges that end, and the visits and jobs they would stop */
        get: operations["expiries"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/feeds/filled": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Record that feeds are filled and their water is on; what waited for it can be gone to again */
        post: operations["fill-feeds"];
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
    "/api/field/file": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take in a file that a phone saved of what it could not send */
        post: operations["take-outbox"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/filing": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Reports owed, filed, returned and accepted, by each purveyor's clock */
        get: operations["filing"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/history/{kind}/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What happened to one thing on record and to what hangs on it, newest first */
        get: operations["story"];
        put?: never;
        post?: never;
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
    "/api/invoicing.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Work done between two days, both included, for invoices */
        get: operations["invoicing"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Open a job that no list names */
        post: operations["open-job"];
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
    "/api/log/backup": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A consistent backup of the log and what is kept beside it, as a zip file; accounts and phones are not in it */
        get: operations["backup"];
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
    "/api/paper-results": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Key in a result from a signed paper whose copy is attached */
        post: operations["paper-result"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/password": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Change one's own password; other sessions end */
        post: operations["change-password"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/phones": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Enrolled phones, and when they were last seen */
        get: operations["phones"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/phones/codes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Make a code that enrols one phone for a person on a crew, within ten minutes */
        post: operations["phone-code"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/phones/enrol": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Enrol this phone by a code */
        post: operations["enrol-phone"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/phones/{id}/revoke": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Let a phone act for nobody any more */
        post: operations["revoke-phone"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/positions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Sites that want a surer position */
        get: operations["unplaced"];
        put?: never;
        /** Match a file of address points, street or postcode centres with the sites; nothing is taken yet */
        post: operations["read-positions"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/positions/read": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Read a pasted position */
        post: operations["read-coordinates"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/positions/take": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take positions for sites; a surer one on record is kept */
        post: operations["take-positions"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/readings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Correct the readings of a test, by its tester; the first entry stays visible */
        post: operations["correct-readings"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/assemblies": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The assemblies on record */
        get: operations["list-assemblies"];
        put?: never;
        /** Enter a new one of the assemblies */
        post: operations["enter-assemblies"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/assemblies/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the assemblies */
        get: operations["one-of-assemblies"];
        /** Mend one of the assemblies */
        put: operations["mend-assemblies"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/crews": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The crews on record */
        get: operations["list-crews"];
        put?: never;
        /** Enter a new one of the crews */
        post: operations["enter-crews"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/crews/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the crews */
        get: operations["one-of-crews"];
        /** Mend one of the crews */
        put: operations["mend-crews"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/customers": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The customers on record */
        get: operations["list-customers"];
        put?: never;
        /** Enter a new one of the customers */
        post: operations["enter-customers"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/customers/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the customers */
        get: operations["one-of-customers"];
        /** Mend one of the customers */
        put: operations["mend-customers"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/feeds": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The feeds on record */
        get: operations["list-feeds"];
        put?: never;
        /** Enter a new one of the feeds */
        post: operations["enter-feeds"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/feeds/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the feeds */
        get: operations["one-of-feeds"];
        /** Mend one of the feeds */
        put: operations["mend-feeds"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/gauges": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The gauges on record */
        get: operations["list-gauges"];
        put?: never;
        /** Enter a new one of the gauges */
        post: operations["enter-gauges"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/gauges/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the gauges */
        get: operations["one-of-gauges"];
        /** Mend one of the gauges */
        put: operations["mend-gauges"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/kits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The kits on record */
        get: operations["list-kits"];
        put?: never;
        /** Enter a new one of the kits */
        post: operations["enter-kits"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/kits/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the kits */
        get: operations["one-of-kits"];
        /** Mend one of the kits */
        put: operations["mend-kits"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/people": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The people on record */
        get: operations["list-people"];
        put?: never;
        /** Enter a new one of the people */
        post: operations["enter-people"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/people/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the people */
        get: operations["one-of-people"];
        /** Mend one of the people */
        put: operations["mend-people"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/purveyors": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The purveyors on record */
        get: operations["list-purveyors"];
        put?: never;
        /** Enter a new one of the purveyors */
        post: operations["enter-purveyors"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/purveyors/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the purveyors */
        get: operations["one-of-purveyors"];
        /** Mend one of the purveyors */
        put: operations["mend-purveyors"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The sites on record */
        get: operations["list-sites"];
        put?: never;
        /** Enter a new one of the sites */
        post: operations["enter-sites"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One of the sites */
        get: operations["one-of-sites"];
        /** Mend one of the sites */
        put: operations["mend-sites"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/search": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Find anything by any part of an address, serial, name or number */
        get: operations["search"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sessions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One's own sessions; for an administrator everybody's */
        get: operations["sessions"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sessions/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /** End a session */
        delete: operations["end-session"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/set-up": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Make the first administrator, once */
        post: operations["set-up"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/settings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What the office plans with, and what its log says of it */
        get: operations["settings"];
        put?: never;
        /** Plan with other numbers from now on */
        post: operations["change-settings"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-in": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Who is signed in, and whether the office is set up */
        get: operations["door"];
        put?: never;
        /** Sign in */
        post: operations["sign-in"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Sign out: the session ends */
        post: operations["sign-out"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sites/{id}/bookings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What others bring to a site, and when they are booked */
        get: operations["bookings"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sites/{id}/disuse": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What of a site is not used, and what is tested before it is used again */
        get: operations["disuse"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/trust": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The office's own certificate authority */
        get: operations["trust"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/trust/authority.crt": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Its certificate as phones install it */
        get: operations["trust-der"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/trust/authority.pem": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Its certificate as text */
        get: operations["trust-pem"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/unfilled": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Feeds left shut, drained or not known to hold water, by customer */
        get: operations["unfilled"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/welcome": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Set a password by a link that an administrator made */
        post: operations["welcome"];
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
        AccountRequest: {
            command_id: string;
            /** @description the name to sign in with */
            login: string;
            name?: string;
            /** @description empty: a new person of this name */
            person?: string;
            /** @description dispatcher, tech, manager, administrator */
            roles: string[] | null;
        };
        AccountView: {
            /** @description too many wrong passwords in a row: a new link opens it again */
            held?: boolean;
            /** @description a link to set one is out */
            invited?: boolean;
            login?: string;
            name: string;
            /** @description may sign in */
            open: boolean;
            /** @description one is set */
            password: boolean;
            person: string;
            roles: string[] | null;
            /**
             * Format: date-time
             * @description last sign-in
             */
            seen?: string;
        };
        Attachment: {
            /** Format: int64 */
            bytes: number;
            sha256: string;
        };
        BacklogContact: {
            name: string;
            phone?: string;
            role: string;
        };
        BacklogFreeKit: {
            id: string;
            /** @description in words */
            where: string;
        };
        BacklogHistoryEntry: {
            alarm?: boolean;
            /** @enum {string} */
            entity: "assembly" | "site" | "feed" | "customer" | "crew" | "gauge" | "kit" | "purveyor" | "person";
            /** @description what a correction names */
            event: string;
            /** Format: date-time */
            happened: string;
            /** @description of the entity */
            id: string;
            /** @description what can be done about it, as things stand */
            mends?: components["schemas"]["BacklogMend"][] | null;
            /** @description what a later entry says is wrong with this one, which stays */
            mistake?: string;
            /** @description the event's name in the log */
            name: string;
            /** @description SHA-256 of the picture taken */
            photo?: string;
            /** Format: int64 */
            position: number;
            /** Format: date-time */
            recorded: string;
            /** @description the entity in words, in a history that tells of several */
            thing?: string;
            void?: boolean;
            who: string;
            words: string;
        };
        BacklogHistoryView: {
            /** @description oldest first */
            entries: components["schemas"]["BacklogHistoryEntry"][] | null;
            job: components["schemas"]["WordsJob"];
            /** @description serials that crews read off the unit and the record does not follow */
            serials_seen?: components["schemas"]["EventsSerialDiffers"][] | null;
            site: components["schemas"]["WordsSite"];
        };
        BacklogLeftOff: {
            /** Format: date-time */
            now: string;
            rows: components["schemas"]["BacklogLeftOffRow"][] | null;
        };
        BacklogLeftOffRow: {
            by?: string;
            /** @description the site's contacts; for the screen only */
            call?: components["schemas"]["BacklogContact"][] | null;
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
        BacklogMend: {
            assembly?: string;
            code?: string;
            /** @description of a time agreed, as it was agreed */
            feed?: string;
            /** Format: date-time */
            from?: string;
            /** @enum {string} */
            how: "note-mistake" | "correct-readings" | "void-result" | "release-part" | "wrong-part" | "send-back-kit" | "withdraw-time";
            item?: string;
            job?: string;
            /**
             * Format: int64
             * @description of a part: its place in the job's list
             */
            nth?: number;
            /** Format: date-time */
            to?: string;
            /** @description of readings: the tester, who alone changes them */
            who?: string;
        };
        BacklogPartState: {
            code: string;
            /** @description on record as on their way, of this code, set aside for no job */
            coming?: components["schemas"]["BacklogFreeKit"][] | null;
            /** @description the very kit */
            item?: string;
            /** @description at hand, of this code, set aside for no job: to be reserved */
            kits?: components["schemas"]["BacklogFreeKit"][] | null;
            /** @description the promised day is past */
            late?: boolean;
            /**
             * Format: int64
             * @description its place in the job's list, from 1
             */
            nth: number;
            /** @enum {string} */
            step: "needed" | "ordered" | "promised" | "received" | "reserved";
            /** @description the shop, or the id of the crew on whose truck it is */
            where?: string;
            words: string;
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
            /** @description the use before which it must be done, in words */
            before_use?: string;
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
            /** @description the same parts, each with how far it has come */
            part_states?: components["schemas"]["BacklogPartState"][] | null;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            phone_by?: components["schemas"]["EventsDeadline"];
            /** @description when the purveyor was told of the failure by telephone, and whom */
            phoned?: string;
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
        BacklogStoryView: {
            /**
             * Format: int64
             * @description how many older ones are not told here
             */
            earlier: number;
            /** @description newest first */
            entries: components["schemas"]["BacklogHistoryEntry"][] | null;
            id: string;
            kind: string;
            /** @description on whose clocks it is told */
            zone: string;
        };
        BacklogUnfilled: {
            customers: components["schemas"]["BacklogUnfilledCustomer"][] | null;
        };
        BacklogUnfilledCustomer: {
            feeds: components["schemas"]["BacklogUnfilledFeed"][] | null;
            id?: string;
            name: string;
        };
        BacklogUnfilledFeed: {
            feed: string;
            /**
             * Format: int64
             * @description tests that wait for it
             */
            jobs: number;
            name: string;
            site: components["schemas"]["WordsSite"];
            /** @description in words: left shut since when, drained, or not known whether it holds water */
            why: string;
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
        BookingPlace: {
            /** @description empty: every feed of the site */
            feed?: string;
            site: string;
        };
        BookingRequest: {
            /** @enum {string} */
            answer: "booked" | "left-word" | "wrong-number" | "refused";
            command_id: string;
            /**
             * Format: date-time
             * @description booked: when they come
             */
            from?: string;
            /** @description that the call was about */
            places: components["schemas"]["BookingPlace"][] | null;
            /** @description what they want to hear about it */
            reference?: string;
            /** Format: date-time */
            to?: string;
            /** @enum {string} */
            what: "street-valve" | "alarm-company" | "escort" | "pump-out";
            /** @description the desk or firm that was asked; no names of people */
            whom?: string;
            words?: string;
        };
        BookingView: {
            /** @description empty: every feed */
            feed?: string;
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
            /** @enum {string} */
            what: "street-valve" | "alarm-company" | "escort" | "pump-out";
            words: string;
        };
        BookingsView: {
            /** @description not over yet, the first first */
            booked: components["schemas"]["BookingView"][] | null;
            /** @description what is needed there and nobody is booked for */
            unbooked: string[] | null;
        };
        BulkCell: {
            column: string;
            is?: string;
            /** @description it is not changed here: what happened is recorded where it happens */
            not?: boolean;
            was?: string;
        };
        BulkChanged: {
            cells: components["schemas"]["BulkCell"][] | null;
            id: string;
            name: string;
            /** @description no record of that id: it is entered */
            new?: boolean;
        };
        BulkReceipt: {
            /**
             * Format: int64
             * @description records entered or mended, those known already included
             */
            changed: number;
            /** Format: int64 */
            position: number;
            refused?: string[] | null;
        };
        BulkView: {
            /**
             * Format: int64
             * @description records that the file does not name; they stay as they are
             */
            absent: number;
            /** @description of what is shown; taking it names it */
            digest: string;
            /** @description rows that are left out, and why */
            faults: components["schemas"]["FaultView"][] | null;
            kind: string;
            /** Format: int64 */
            new: number;
            /** @description rows that differ from the record, in the order of the file */
            rows: components["schemas"]["BulkChanged"][] | null;
            /**
             * Format: int64
             * @description rows that say what is on record
             */
            same: number;
        };
        CallRequest: {
            command_id: string;
            /** @description the id of the call on the list */
            customer: string;
            /** @description of an agreed time, for one site; empty: every feed */
            feed?: string;
            /**
             * Format: date-time
             * @description agreed: from when the water may be off; posted: a time on the day that the notice speaks of
             */
            from?: string;
            /** @enum {string} */
            outcome: "agreed" | "left-word" | "wrong-number" | "posted" | "refused" | "uses-another-firm";
            /** @description that the call was about; none: all that the list names for the customer */
            sites?: string[] | null;
            /** Format: date-time */
            to?: string;
            /** @description the person that was asked */
            who?: string;
            words?: string;
        };
        CallsAgreed: {
            /** @description empty: every feed */
            feed?: string;
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
            words: string;
        };
        CallsAsk: {
            /** Format: int64 */
            jobs: number;
            /** @enum {string} */
            rule: "standing" | "repair-yes" | "notice" | "window" | "season" | "stopped" | "fire";
            words: string;
        };
        CallsContact: {
            name: string;
            person: string;
            phone?: string;
            roles: string[] | null;
            /** @description ids */
            sites: string[] | null;
            /** @description the last call found the number wrong */
            wrong_number?: boolean;
        };
        CallsCustomer: {
            /** @description the last day on which asking is of use for the first deadline */
            ask_by?: string;
            asks: components["schemas"]["CallsAsk"][] | null;
            /**
             * Format: int64
             * @description to ask_by; below zero: it is late, ask all the same
             */
            days_left?: number;
            id: string;
            /** Format: int64 */
            jobs: number;
            /** Format: int64 */
            jobs_let_in_tomorrow?: number;
            /** @description jobs that this call alone may let into tomorrow's plan, one sentence a site */
            lets_in_tomorrow?: string[] | null;
            /**
             * Format: int64
             * @description at the sites, without travel
             */
            minutes: number;
            name: string;
            /** @description something is to be asked; otherwise the hours on record are enough */
            needed: boolean;
            /** @description why nothing is done for them now */
            on_hold?: string;
            /** @description what to say, one short paragraph */
            say: string;
            sites: components["schemas"]["CallsSite"][] | null;
            whom: components["schemas"]["CallsContact"][] | null;
        };
        CallsDay: {
            agreed?: boolean;
            date: string;
            /** @description 05:00–09:00, 13:00–15:00 */
            hours: string;
            /** @description Tue 3 Mar */
            name: string;
            /** @description for notice given now; a time agreed is needed */
            too_soon?: boolean;
        };
        CallsFeed: {
            /**
             * Format: int64
             * @description with the water off
             */
            dry_minutes: number;
            fire?: boolean;
            id: string;
            jobs: components["schemas"]["WordsJob"][] | null;
            name: string;
            /** @description days on which the water may be off long enough while a crew works */
            open: components["schemas"]["CallsDay"][] | null;
            /** @description as written on record */
            shutdown_window: string;
        };
        CallsParty: {
            /** @description the first deadline of the jobs that wait for it */
            ask_by?: string;
            /** Format: int64 */
            days_left?: number;
            id: string;
            /** Format: int64 */
            jobs: number;
            /** Format: int64 */
            jobs_let_in_tomorrow?: number;
            /** @description jobs that may come into tomorrow's plan when they come, one sentence a site */
            lets_in_tomorrow?: string[] | null;
            /** @description the desk or firm; the customer, for an escort */
            name: string;
            /** @description of the desk or firm, where it is noted */
            phone?: string;
            places: components["schemas"]["CallsPlace"][] | null;
            /** @description what to say, one short paragraph */
            say: string;
            /** @enum {string} */
            what: "street-valve" | "alarm-company" | "escort" | "pump-out";
            /** @description people of the sites who can be asked */
            whom: components["schemas"]["CallsContact"][] | null;
        };
        CallsPlace: {
            /** Format: int64 */
            days_left: number;
            deadline?: string;
            /** @description empty: every feed of the site */
            feed?: string;
            feed_name?: string;
            jobs: components["schemas"]["WordsJob"][] | null;
            /** @description what they said last, newest first */
            last?: string[] | null;
            /** @description all are booked, but for a day after the deadline */
            late?: boolean;
            /**
             * Format: int64
             * @description for how long they are wanted: with the water off, or from arriving to leaving
             */
            minutes: number;
            /** @description days on which it could be, before the deadline */
            open: components["schemas"]["CallsDay"][] | null;
            site: components["schemas"]["WordsSite"];
            /** @description who else is booked there already, and for which day */
            together?: string[] | null;
        };
        CallsSite: {
            access_hours: string;
            /** @description times agreed that are still to come */
            agreed?: components["schemas"]["CallsAgreed"][] | null;
            asks: components["schemas"]["CallsAsk"][] | null;
            /** Format: int64 */
            days_left: number;
            /** @description the first of its jobs */
            deadline?: string;
            feeds: components["schemas"]["CallsFeed"][] | null;
            /** Format: int64 */
            jobs: number;
            /** @description what was said and agreed last, newest first */
            last?: string[] | null;
            /** Format: int64 */
            minutes: number;
            /** @description the newest notice, in words */
            notice?: string;
            /** Format: int64 */
            notice_days?: number;
            /** @description too late for notice before the deadline: a time must be agreed */
            notice_late?: boolean;
            /** @description last day on which notice can be given for an open day before the deadline */
            notice_until?: string;
            site: components["schemas"]["WordsSite"];
        };
        CallsView: {
            /** @description the most pressing first; those where nothing is to be asked at the end */
            customers: components["schemas"]["CallsCustomer"][] | null;
            from: string;
            headline: string;
            /** Format: date-time */
            now: string;
            /** @description desks and firms to be booked, which bring what work waits for: the most pressing first */
            parties: components["schemas"]["CallsParty"][] | null;
            to: string;
            /** @description the next working day */
            tomorrow: string;
            /** @description there is a plan of tomorrow, so it is known which calls would let more in */
            tomorrow_planned: boolean;
        };
        ChangeMessage: {
            /** @description days that changed */
            dates?: string[] | null;
            /** @description of entity; resync: everything */
            kinds: string[] | null;
            /** Format: int64 */
            position: number;
        };
        ChangeOutRequest: {
            command_id: string;
            /** @description which does it; needed unless it is taken off */
            crew?: string;
            feed?: string;
            /** @description taken off the day */
            out?: boolean;
            /**
             * Format: int64
             * @description from 1 in the crew's whole route; 0: wherever it fits best
             */
            place?: number;
            site: string;
            /** @description of what is taken off */
            why?: string;
        };
        CloseRequest: {
            command_id: string;
            why?: string;
        };
        CodeRequest: {
            crew: string;
            person: string;
        };
        CodeView: {
            code: string;
            /** Format: date-time */
            until: string;
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
        CoordinatesRequest: {
            text: string;
        };
        CoordinatesView: {
            /** @description degrees north and east; null when it is not known */
            at: {
                lat: number;
                lon: number;
            } | null;
            read_as: string;
            /** Format: double */
            uncertainty_m?: number;
        };
        CrewAlarmView: {
            /** @description what to do about it */
            do: string;
            /** @description what settling names */
            event: string;
            id: string;
            /** @enum {string} */
            kind: "assembly" | "site" | "feed" | "field";
            /** Format: date-time */
            received: string;
            /** @description of a fact that could not be filed: as the phone sent it */
            request?: string;
            /**
             * Format: date-time
             * @description when it happened, by the server's clock as well as it is known
             */
            said: string;
            settled?: components["schemas"]["CrewSettledView"];
            site: components["schemas"]["WordsSite"];
            /** @description the assembly or the feed */
            what?: string;
            /** @description the crew or person who recorded it */
            who: string;
            words: string;
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
            as_left_at?: string;
            /** @description whom to tell before shutting and after restoring */
            calls?: components["schemas"]["CrewFireCall"][] | null;
            /** @description what to make sure of once a fire line is restored */
            checks?: string[] | null;
            /** Format: date-time */
            dry_since?: string;
            fire?: boolean;
            id: string;
            name: string;
            /** Format: date-time */
            on_test_until?: string;
            /** @description a feed that must be proved open and flowing before this one is shut */
            other?: string;
            /**
             * Format: date-time
             * @description when water came on again last
             */
            restored_at?: string;
            valves: string[] | null;
        };
        CrewFireCall: {
            /** @description what to say once it is restored */
            after: string;
            /**
             * Format: date-time
             * @description after restoring, on this day
             */
            back_at?: string;
            /** @description what to say before shutting */
            before: string;
            /** @description empty: ask the site whom to call */
            contacts: components["schemas"]["CrewContact"][] | null;
            /** @description puts the monitoring on test: ask until when */
            on_test?: boolean;
            role: string;
            /**
             * Format: date-time
             * @description before shutting, on this day
             */
            told_at?: string;
        };
        CrewForm: {
            /** @description what is found in a component that failed */
            causes: string[] | null;
            could_not_reasons: string[] | null;
            crews: components["schemas"]["WordsCrew"][] | null;
            /** @description the criteria profiles, as the server judges by */
            criteria: unknown;
            /** @description the day on which gauges and certificates are judged */
            date: string;
            feed: components["schemas"]["CrewFeed"];
            gauges: components["schemas"]["CrewGauge"][] | null;
            /** @description what follows each outcome; could-not-test/reason for the reasons */
            next_steps: {
                [key: string]: string;
            };
            /** @description the day and crew that the job was sent out with last */
            out?: components["schemas"]["CrewOut"];
            /** @description already keyed in for this job */
            papers?: components["schemas"]["CrewPaper"][] | null;
            /** @description who may have tested: everyone with a tester's certificate on record */
            people: components["schemas"]["CrewPerson"][] | null;
            procedures: string[] | null;
            site: components["schemas"]["WordsSite"];
            /** @description of this job, oldest first, with their corrections applied */
            tests: components["schemas"]["EventsTestTaken"][] | null;
            types: components["schemas"]["CrewTypeView"][] | null;
            work: components["schemas"]["CrewWork"];
            zone: string;
        };
        CrewGauge: {
            certified_until: string;
            id: string;
            serial: string;
            valid: boolean;
            words?: string;
        };
        CrewKitAtHand: {
            code: string;
            /** Format: int64 */
            count: number;
            /** @description reserved for this very job */
            mine?: boolean;
            where: string;
        };
        CrewLate: {
            /**
             * Format: date-time
             * @description when work could begin; missing: it fits the hours there no more
             */
            begin?: string;
            /**
             * Format: int64
             * @description after the planned time
             */
            minutes: number;
            /**
             * Format: date-time
             * @description when the crew would be there
             */
            reached: string;
        };
        CrewOut: {
            crew: string;
            date: string;
        };
        CrewPaper: {
            keyed_by: string;
            sha256: string;
            signed_on: string;
            tester: string;
        };
        CrewPast: {
            on: string;
            words: string;
        };
        CrewPerson: {
            id: string;
            /** @description why a test by this person may not count today */
            lacks?: string;
            name: string;
        };
        CrewRequest: {
            actor?: string;
            assembly?: string;
            /** @description of shut-off, when not the crew: who shut it */
            by?: string;
            /**
             * Format: int64
             * @description the phone's clock minus the server's, as learned before this was recorded
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
            kind: "arrive" | "leave" | "no-access" | "shut-off" | "restore" | "leave-feed" | "finish-job" | "tell" | "photo" | "serial-seen" | "position";
            new?: components["schemas"]["EventsReplaced"];
            /** @description what stood in the way, and who clears it from when */
            obstacle?: components["schemas"]["EventsObstacle"];
            outcome?: string;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            /** @description its bytes are sent before, to /api/attachments */
            photo?: components["schemas"]["EventsPhoto"];
            position?: components["schemas"]["EventsPositionRead"];
            repair?: components["schemas"]["EventsRepaired"];
            seen?: string;
            /**
             * Format: date-time
             * @description by the phone's clock, as it sends this
             */
            sent?: string;
            serial?: components["schemas"]["EventsSerialDiffers"];
            site?: string;
            told?: components["schemas"]["EventsPeopleTold"];
            why?: string;
            words?: string;
            /** @description repair kits that did not fit */
            wrong_kits?: components["schemas"]["EventsKitTrouble"][] | null;
        };
        CrewSettledView: {
            by: string;
            /** Format: date-time */
            on: string;
            words: string;
        };
        CrewStop: {
            access: components["schemas"]["WordsSpan"][] | null;
            access_words?: string;
            /** @description on a sent-out day: nothing of it is recorded yet, so that it may be changed */
            ahead?: boolean;
            /** Format: date-time */
            arrive: string;
            /** @description no position on record: offer the phone's, once */
            ask_position?: boolean;
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
            /** @description what is not valid today; said before work starts, and stopping nothing */
            lacks: string[] | null;
            late?: components["schemas"]["CrewLate"];
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
            /** @description on a sent-out day, in words: at the site since 07:02, done 07:41, expected late */
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
            /** @description on the way; missing: none, or at home */
            break?: components["schemas"]["WordsBreak"];
            /** @description for the whole day */
            bring: string[] | null;
            /** @description what is found in a component that failed */
            causes: string[] | null;
            could_not_reasons: string[] | null;
            crew: components["schemas"]["WordsCrew"];
            /** @description the criteria profiles, as the server judges by */
            criteria: unknown;
            date: string;
            /** Format: date-time */
            end?: string;
            gauges: components["schemas"]["CrewGauge"][] | null;
            /** @description the crew's next working day, to be kept on the phone as well */
            next?: string;
            /** @description what follows each outcome; could-not-test/reason for the reasons */
            next_steps: {
                [key: string]: string;
            };
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
            /** @description the use before which it must be done, in words */
            before_use?: string;
            bypass?: string;
            bypass_serial?: string;
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
            /** @description free repair kits that fit it, and where they lie */
            kits_at_hand?: components["schemas"]["CrewKitAtHand"][] | null;
            last_tests?: components["schemas"]["EventsTestTaken"][] | null;
            maker?: string;
            /**
             * Format: int64
             * @description with the water off or at the unit, without travel and paper
             */
            minutes: number;
            model?: string;
            /** @description of the outcome */
            next_step?: string;
            /** @description once the server knows it */
            outcome?: string;
            /** @description kits this job waits for, or that are set aside for it */
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            /** @description its history, the newest first */
            past?: components["schemas"]["CrewPast"][] | null;
            photos?: components["schemas"]["EventsPhotoKept"][] | null;
            place?: string;
            profile: string;
            purveyor: string;
            purveyor_number?: string;
            retest_by?: components["schemas"]["EventsDeadline"];
            serial?: string;
            serials_seen?: components["schemas"]["EventsSerialDiffers"][] | null;
            service?: string;
            size?: string;
            stage: string;
            /** @description what stood in the way, and from when it can be tried again */
            stopped?: components["schemas"]["EventsStop"];
            type: string;
            type_name: string;
            /** @description in words: test; repair and retest */
            work?: string;
            /** @description in words; empty: the unit is not opened */
            yes_to_repair?: string;
        };
        DeskRequest: {
            about?: string;
            assembly?: string;
            basis?: string;
            by?: string;
            /** @description of a gauge that was verified; words: by whom, and where */
            calibrated_on?: string;
            code?: string;
            command_id: string;
            confirmation?: string;
            crew?: string;
            date?: string;
            feed?: string;
            /** Format: date-time */
            from?: string;
            gauge?: string;
            how?: string;
            /** @description the very repair kit */
            item?: string;
            job?: string;
            /** @description of settle-alarm: the fact that could not be filed */
            kept?: string;
            /** @enum {string} */
            kind: "yes-to-repair" | "want-parts" | "ready-parts" | "clear-way" | "set-standing" | "withdraw" | "file-report" | "accept-report" | "return-report" | "give-notice" | "agree-time" | "make-booking" | "withdraw-booking" | "restore-feed" | "note-measures" | "say-vacant" | "say-out-of-use" | "crew-off" | "crew-back" | "drop-gauge" | "verify-gauge" | "order-parts" | "promise-parts" | "receive-part" | "reserve-part" | "load-part" | "release-part" | "wrong-part" | "send-back-kit" | "phone-failure" | "void-result" | "correct-entry" | "take-serial" | "keep-serial" | "settle-alarm";
            /** Format: int64 */
            limit_usd?: number;
            /**
             * Format: int64
             * @description of measures for a fire line: how long it may be out of service in any 24 hours; 0 takes them back
             */
            minutes?: number;
            /** Format: int64 */
            nth?: number;
            order_number?: string;
            /**
             * @description default: main
             * @enum {string}
             */
            part?: "main" | "bypass";
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            /** @description who agreed to measures: the impairment coordinator; who says that something is not used */
            role?: string;
            serial?: string;
            /** @description of what is not used: the first day without use; missing: it was noted by mistake. date: the day on which it is used again, missing while nobody knows */
            since?: string;
            site?: string;
            standing?: string;
            supplier?: string;
            /** Format: date-time */
            to?: string;
            /** @enum {string} */
            what?: "street-valve" | "alarm-company" | "escort" | "pump-out";
            where?: string;
            who?: string;
            /** @description no person's name */
            whom?: string;
            words?: string;
        };
        DispatchBegun: {
            crew: string;
            /**
             * Format: date-time
             * @description when it can drive on
             */
            free: string;
            /** @description where it is, or is driving to */
            site: components["schemas"]["WordsSite"];
            /** @description nothing was heard of it, so it is taken to be on its route */
            unheard?: boolean;
            /**
             * Format: int64
             * @description driven, under way, or at the end of a drive that has begun
             */
            visits: number;
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
        DispatchMoveView: {
            from?: components["schemas"]["DispatchSeatView"];
            how: string;
            /** Format: int64 */
            jobs: number;
            /** Format: int64 */
            later_minutes?: number;
            site: components["schemas"]["WordsSite"];
            to?: components["schemas"]["DispatchSeatView"];
            /**
             * Format: double
             * @description what leaving its jobs out costs more
             */
            usd: number;
            /** @description why it is not on the new plan, and what would fit it there */
            why?: string;
        };
        DispatchOtherwise: {
            /** @description the plan as it would be */
            after: components["schemas"]["DispatchRoute"][] | null;
            /**
             * Format: int64
             * @description routes of a day that is out which would change
             */
            amends?: number;
            /** @description the plan as it stands, or the day as sent out */
            before: components["schemas"]["DispatchRoute"][] | null;
            /** @description on a day that is out: what crews have begun, which stays */
            begun?: components["schemas"]["DispatchBegun"][] | null;
            costs: components["schemas"]["DispatchCostPart"][] | null;
            /** @description of the plan of the rest of the day; sending it out names it */
            digest?: string;
            /** Format: int64 */
            drive_minutes: number;
            /**
             * Format: int64
             * @description visits that come in, fall out or change crew
             */
            moved: number;
            moves: components["schemas"]["DispatchMoveView"][] | null;
            /** @description what the independent checker says against the supposed plan */
            refusals?: components["schemas"]["DispatchRefusal"][] | null;
            /**
             * Format: int64
             * @description from leaving home to return, all crews
             */
            route_minutes: number;
            /** @description what is supposed, in words */
            suppose: string[] | null;
            /** Format: double */
            total_usd: number;
        };
        DispatchRefusal: {
            crew?: string;
            job?: string;
            rule: string;
            site?: string;
            words: string;
        };
        DispatchRoute: {
            /** @description on the way; missing: none, or at home */
            break?: components["schemas"]["WordsBreak"];
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
        DispatchSeatView: {
            /** Format: date-time */
            arrive: string;
            crew: string;
        };
        DispatchSupposed: {
            assembly?: string;
            crew?: string;
            feed?: string;
            /** @description in opening-hours syntax */
            hours?: string;
            job?: string;
            /** Format: int64 */
            minutes?: number;
            /**
             * Format: date
             * @description on which the repair kits come
             */
            promised?: string;
            site?: string;
            /** @enum {string} */
            what: "crew-off" | "crew-longer" | "new-job" | "window" | "access" | "wider" | "parts-late";
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
            /** @description the last change of the proposal, in words; it can be undone */
            undo?: string;
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
        DisuseSaid: {
            /** @description missing: nobody knows yet */
            back?: string;
            by: string;
            /** @description empty: the whole site stands empty */
            feed?: string;
            since: string;
            words: string;
        };
        DisuseView: {
            /** @description the tests that are owed before use */
            owed: components["schemas"]["OwedView"][] | null;
            /** @description the site first */
            said: components["schemas"]["DisuseSaid"][] | null;
        };
        DoorView: {
            /** @description who has signed in */
            me?: components["schemas"]["MeView"];
            /** @description false: the office has nobody yet; open the link that the server printed */
            set_up: boolean;
            /** @description false: a demo in which nobody signs in */
            sign_in: boolean;
        };
        EnrolRequest: {
            code: string;
            /** @description of the phone, so that it is told from others */
            name?: string;
        };
        EntryAssemblyFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsAssemblyFacts"];
            id: string;
        };
        EntryCrewFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsCrewFacts"];
            id: string;
        };
        EntryCustomerFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsCustomerFacts"];
            id: string;
        };
        EntryFeedFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsFeedFacts"];
            id: string;
        };
        EntryGaugeFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsGaugeFacts"];
            id: string;
        };
        EntryKitFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsKitFacts"];
            id: string;
        };
        EntryPersonFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsPersonFacts"];
            id: string;
        };
        EntryPurveyorFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsPurveyorFacts"];
            id: string;
        };
        EntrySiteFacts: {
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsSiteFacts"];
            id: string;
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
        EventsAssemblyFacts: {
            bypass?: components["schemas"]["EventsBypassFacts"];
            feed: string;
            hazard?: string;
            installation?: components["schemas"]["EventsInstallation"];
            isolates?: string;
            last_passed?: string;
            maker?: string;
            model?: string;
            place?: string;
            /** @description degrees north and east; null when it is not known */
            position?: {
                lat: number;
                lon: number;
            } | null;
            purveyor: string;
            purveyor_number?: string;
            serial?: string;
            serial_doubt?: string;
            service?: string;
            site: string;
            size?: string;
            type: string;
            vault?: string;
        };
        EventsBypassFacts: {
            maker?: string;
            model?: string;
            serial?: string;
            size?: string;
        };
        EventsClosures: {
            days?: string[] | null;
            region?: string;
            weekend?: number[] | null;
        };
        EventsComponentRepair: {
            code?: string;
            component: string;
            did: string;
            found?: string;
            part: string;
        };
        EventsCondition: {
            confirmed?: string[] | null;
            decides?: string;
            /** Format: date-time */
            on_test_until?: string;
            restores?: string;
            service: string;
            told?: string[] | null;
            valves?: components["schemas"]["EventsValve"][] | null;
            words?: string;
        };
        EventsContact: {
            person: string;
            role: string;
        };
        EventsCredential: {
            kind: string;
            number?: string;
            until: string;
        };
        EventsCrewFacts: {
            break_from?: string;
            /** Format: int64 */
            break_minutes?: number;
            break_to?: string;
            gauges?: string[] | null;
            /** @description degrees north and east; null when it is not known */
            home: {
                lat: number;
                lon: number;
            } | null;
            hours: string;
            letter: string;
            name: string;
            /** Format: int64 */
            overtime_minutes?: number;
            people: string[] | null;
            region?: string;
            zone: string;
        };
        EventsCustomerFacts: {
            mailing_address?: string;
            name: string;
            on_hold?: string;
            purchase_order?: string;
            repair?: string;
            /** Format: int64 */
            repair_limit_usd?: number;
        };
        EventsDeadline: {
            /** Format: date-time */
            at?: string;
            known: boolean;
            on?: string;
            rule: string;
        };
        EventsDeadlineRule: {
            /** Format: int64 */
            count: number;
            counts_from?: string;
            roll?: string;
            source?: string;
            unit: string;
        };
        EventsDisuseRule: {
            /** Format: int64 */
            months?: number;
            none?: boolean;
            source?: string;
        };
        EventsFeedFacts: {
            fed_from?: string;
            fire?: boolean;
            manifold?: string;
            name: string;
            needs?: components["schemas"]["EventsNeed"][] | null;
            pressurised?: boolean;
            season?: string;
            shutdown_window: string;
            site: string;
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
        EventsGaugeFacts: {
            calibrated_by?: string;
            calibrated_on?: string;
            certified_until: string;
            maker?: string;
            model?: string;
            potable: boolean;
            registered_with?: string[] | null;
            serial?: string;
        };
        EventsInstallation: {
            approved?: string;
            /** Format: int64 */
            design_flow_gpm?: number;
            detector_meter?: string;
            frost_flood?: string;
            /** Format: int64 */
            height_in?: number;
            orientation?: string;
            outlets_before?: string;
            permit?: string;
            relief_gap?: string;
            water_meter?: string;
        };
        EventsJobRef: {
            assembly: string;
            job: string;
        };
        EventsKitFacts: {
            code: string;
            component?: string;
            maker?: string;
            model?: string;
            promised?: string;
            size?: string;
            where?: string;
        };
        EventsKitTrouble: {
            code: string;
            item?: string;
            why: string;
        };
        EventsNeed: {
            phone?: string;
            what: string;
            whom?: string;
        };
        EventsObstacle: {
            /** Format: date-time */
            from?: string;
            which?: string;
            who?: string;
        };
        EventsPartWanted: {
            code: string;
            component?: string;
            item?: string;
            order_number?: string;
            ordered?: string;
            part?: string;
            promised?: string;
            received?: string;
            supplier?: string;
            where?: string;
        };
        EventsPeopleTold: {
            crew?: string;
            day?: string;
            /** Format: date-time */
            on_test_until?: string;
            role: string;
            when: string;
            words?: string;
        };
        EventsPersonFacts: {
            credentials?: components["schemas"]["EventsCredential"][] | null;
            registrations?: components["schemas"]["EventsRegistration"][] | null;
        };
        EventsPhoto: {
            crew?: string;
            day?: string;
            job?: string;
            sha256: string;
            shows?: string;
            words?: string;
        };
        EventsPhotoKept: {
            /** Format: date-time */
            at: string;
            crew?: string;
            day?: string;
            event: string;
            job?: string;
            sha256: string;
            shows?: string;
            words?: string;
        };
        EventsPositionRead: {
            /** Format: int64 */
            accuracy_m: number;
            /** @description degrees north and east; null when it is not known */
            at: {
                lat: number;
                lon: number;
            } | null;
            crew?: string;
            day?: string;
        };
        EventsPurveyorFacts: {
            closed?: components["schemas"]["EventsClosures"];
            criteria_profile: string;
            /** Format: int64 */
            earliest_days_before?: number;
            gauge_anniversary_counts?: boolean;
            gauge_registration_required?: boolean;
            idle?: components["schemas"]["EventsDisuseRule"];
            /** Format: int64 */
            interval_months?: number;
            name: string;
            phone_fail?: components["schemas"]["EventsDeadlineRule"];
            registration_required?: boolean;
            repair?: {
                [key: string]: components["schemas"]["EventsDeadlineRule"];
            };
            report_fail?: components["schemas"]["EventsDeadlineRule"];
            report_pass?: components["schemas"]["EventsDeadlineRule"];
            system_number?: string;
            vacancy?: components["schemas"]["EventsDisuseRule"];
            zone: string;
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
        EventsRegistration: {
            purveyor: string;
            until: string;
        };
        EventsRepaired: {
            cleaned?: boolean;
            components?: components["schemas"]["EventsComponentRepair"][] | null;
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
        EventsSerialDiffers: {
            crew?: string;
            job?: string;
            on?: string;
            part: string;
            record?: string;
            seen: string;
            words?: string;
        };
        EventsSiteFacts: {
            access?: string;
            access_hours: string;
            account?: string;
            address?: string;
            caution?: string;
            contacts?: components["schemas"]["EventsContact"][] | null;
            customer?: string;
            legs_one_a_day?: boolean;
            name: string;
            needs?: components["schemas"]["EventsNeed"][] | null;
            /** Format: int64 */
            notice_days?: number;
            parcel?: string;
            /** @description degrees north and east; null when it is not known */
            position: {
                lat: number;
                lon: number;
            } | null;
            position_source?: string;
            region?: string;
            use?: string;
            zone: string;
        };
        EventsStop: {
            /** Format: date-time */
            from?: string;
            on: string;
            outcome: string;
            which?: string;
            who?: string;
            why?: string;
            words?: string;
        };
        EventsTest: {
            /** Format: date-time */
            at: string;
            computed?: components["schemas"]["EventsVerdict"];
            detector_meter_reading?: string;
            /** Format: int64 */
            forward_flow_gpm?: number;
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
            water_meter_reading?: string;
        };
        EventsTestTaken: {
            /** Format: date-time */
            at: string;
            computed?: components["schemas"]["EventsVerdict"];
            corrected?: string;
            crew?: string;
            detector_meter_reading?: string;
            event: string;
            /** Format: int64 */
            forward_flow_gpm?: number;
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
            water_meter_reading?: string;
        };
        EventsValve: {
            name: string;
            secured?: string;
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
        FilledReceipt: {
            /**
             * Format: int64
             * @description feeds recorded, those known already included
             */
            filled: number;
            /** Format: int64 */
            position: number;
            /** @description what was not recorded of some feed, in words; the others are */
            refused?: string[] | null;
        };
        FilledRequest: {
            /** @description who says so */
            by: string;
            command_id: string;
            feeds: string[] | null;
        };
        FitView: {
            /** Format: double */
            cost_usd: number;
            crew: components["schemas"]["WordsCrew"];
            /**
             * Format: int64
             * @description by which the crew's day grows
             */
            extra_minutes: number;
            /**
             * Format: int64
             * @description from 1, in the crew's order
             */
            place: number;
        };
        FitsDay: {
            /** @description the cheapest change that would fit it */
            change?: string;
            date: string;
            /** @description the best place of each crew, cheapest first */
            fits: components["schemas"]["FitView"][] | null;
            /** @description the day is sent out: putting the job on it amends it */
            out?: boolean;
            /** @description why it fits nowhere */
            reason?: string;
        };
        FitsView: {
            days: components["schemas"]["FitsDay"][] | null;
            job: components["schemas"]["WordsJob"];
        };
        FormReceipt: {
            id: string;
            /** Format: int64 */
            position: number;
            repeated: boolean;
        };
        FormRequestAssemblyFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsAssemblyFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestCrewFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsCrewFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestCustomerFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsCustomerFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestFeedFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsFeedFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestGaugeFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsGaugeFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestKitFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsKitFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestPersonFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsPersonFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestPurveyorFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsPurveyorFacts"];
            /** @description of a correction */
            why?: string;
        };
        FormRequestSiteFacts: {
            command_id: string;
            /** @description of a person or site: name, telephone, code; kept apart from the log */
            details?: components["schemas"]["WordsDetails"];
            facts: components["schemas"]["EventsSiteFacts"];
            /** @description of a correction */
            why?: string;
        };
        InviteView: {
            /** @description the link, after the server's address; hand it over yourself: whoever has it is let in */
            path: string;
            person: string;
            /** Format: date-time */
            until: string;
        };
        JobReceipt: {
            job: string;
            /** Format: int64 */
            position: number;
            repeated: boolean;
        };
        JobRequest: {
            assembly: string;
            command_id: string;
            /** @description by when it should be done */
            due: string;
            /** @enum {string} */
            kind: "annual-test" | "new-install" | "re-occupancy" | "before-use" | "relief-discharging" | "after-freeze" | "return-visit" | "after-repair" | "season-start" | "survey";
            /** @description who called, and why */
            words?: string;
        };
        LearnedCrew: {
            /** Format: int64 */
            count: number;
            crew: components["schemas"]["WordsCrew"];
            /**
             * Format: double
             * @description drawn towards the mean of all crews by how little crews differ
             */
            minutes: number;
        };
        LearnedView: {
            /**
             * Format: int64
             * @description times on record
             */
            count: number;
            crews: components["schemas"]["LearnedCrew"][] | null;
            /**
             * Format: double
             * @description their mean, drawn towards the setting by how few they are
             */
            minutes: number;
            name: string;
            /** @description the setting it could take the place of */
            sets?: string;
            /** Format: int64 */
            setting: number;
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
        MeView: {
            /** @description that the phone is enrolled with */
            crew?: string;
            name: string;
            person: string;
            /** @description the enrolled phone that asks */
            phone?: string;
            /** @description in this office */
            roles: string[] | null;
        };
        OfficeView: {
            crews: components["schemas"]["WordsCrew"][] | null;
            /** @description who has signed in; missing where nobody does */
            me?: components["schemas"]["MeView"];
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
        OutboxEntry: {
            /** @description when it was tapped, by the phone's clock */
            at?: string;
            /** @description the command's */
            id: string;
            /** @description what was tapped, in words */
            label?: string;
            /** @description as the phone would have sent it to /api/field */
            request: unknown;
        } & {
            [key: string]: unknown;
        };
        OutboxFile: {
            crew?: string;
            /** @description in the order tapped */
            entries: components["schemas"]["OutboxEntry"][] | null;
            /** @description a name of the phone */
            phone?: string;
            /** @description those that the entries name */
            pictures?: components["schemas"]["OutboxPicture"][] | null;
            /**
             * Format: int64
             * @enum {integer}
             */
            valveround_outbox: 1;
        } & {
            [key: string]: unknown;
        };
        OutboxPicture: {
            base64: string;
            sha256: string;
            type?: string;
        } & {
            [key: string]: unknown;
        };
        OwedView: {
            assembly: string;
            job: string;
            /** @description the day of the use is known */
            known: boolean;
            unit: string;
            words: string;
        };
        PaperResultRequest: {
            /** @description how the paper says that each shut-off was left; none: it does not say */
            as_left?: components["schemas"]["EventsCondition"];
            assembly: string;
            /** @description the person who keys it in */
            by?: string;
            command_id: string;
            crew?: string;
            /** @description of the visit; default: when it was signed */
            day?: string;
            final?: components["schemas"]["EventsTest"];
            initial?: components["schemas"]["EventsTest"];
            job: string;
            /**
             * Format: date-time
             * @description when; what was recorded of the feed since stands
             */
            left_at?: string;
            new?: components["schemas"]["EventsReplaced"];
            /** @description what stood in the way, and who clears it from when */
            obstacle?: components["schemas"]["EventsObstacle"];
            outcome: string;
            parts?: components["schemas"]["EventsPartWanted"][] | null;
            repair?: components["schemas"]["EventsRepaired"];
            seen?: string;
            /** @description of the signed copy, as POST /api/attachments answered */
            sha256: string;
            signed_on: string;
            /** @description the person who tested and signed */
            tester: string;
            why?: string;
            words?: string;
            /** @description repair kits that did not fit */
            wrong_kits?: components["schemas"]["EventsKitTrouble"][] | null;
        };
        PapersExpiries: {
            /** Format: int64 */
            days: number;
            /** @description the earliest end first */
            rows: components["schemas"]["PapersExpiry"][] | null;
            today: string;
        };
        PapersExpiry: {
            /** @description jobs due after it ends that no crew of the office could do then, the earliest due first */
            ahead: components["schemas"]["PapersStoppedJob"][] | null;
            /** @description letters; none: no crew has it */
            crews: string[] | null;
            /**
             * Format: int64
             * @description to the last day; negative: it has ended
             */
            days_left: number;
            /** @description a person's name, or the gauge's serial */
            holder: string;
            /** @description of the person or gauge */
            id: string;
            /** @description on which it is valid */
            last_day: string;
            /** @description in words */
            name: string;
            number?: string;
            /** @description of a registration */
            purveyor?: string;
            /** @description visits that are sent out, or in the proposal, for a day after it ends, and that nobody else on the crew makes good */
            stops: components["schemas"]["PapersStoppedVisit"][] | null;
            /** @enum {string} */
            what: "tester" | "repairer" | "fire" | "confined-space" | "registration" | "gauge";
            words: string;
        };
        PapersField: {
            label: string;
            value: string;
        };
        PapersFiling: {
            /** @enum {string} */
            about: "pass" | "fail" | "phone-in";
            accepted_on?: string;
            by?: string;
            confirmation?: string;
            how?: string;
            on: string;
            returned_on?: string;
            /** @description of a report that came back */
            why?: string;
        };
        PapersFilingClock: {
            fail: string;
            name: string;
            pass: string;
            phone_in: string;
            purveyor: string;
        };
        PapersFilingCounts: {
            /** Format: int64 */
            accepted: number;
            /** Format: int64 */
            filed: number;
            /**
             * Format: int64
             * @description of those owed, returned or to be sent again: past their last day
             */
            late: number;
            /**
             * Format: int64
             * @description of those: by when is not known, ask
             */
            not_known: number;
            /** Format: int64 */
            owed: number;
            /** Format: int64 */
            returned: number;
            /** Format: int64 */
            send_again: number;
        };
        PapersFilingList: {
            /** @description accepted reports are shown when they were filed on or after this day */
            accepted_since: string;
            clocks: components["schemas"]["PapersFilingClock"][] | null;
            counts: components["schemas"]["PapersFilingCounts"];
            /** Format: date-time */
            now: string;
            rows: components["schemas"]["PapersFilingRow"][] | null;
            /** @description more were accepted than are shown */
            truncated?: boolean;
        };
        PapersFilingRow: {
            /** @enum {string} */
            about: "pass" | "fail" | "phone-in";
            by?: components["schemas"]["EventsDeadline"];
            /**
             * Format: int64
             * @description in the purveyor's zone; negative: late; none: not known, ask
             */
            days_left?: number;
            filings: components["schemas"]["PapersFiling"][] | null;
            job: components["schemas"]["WordsJob"];
            missed?: boolean;
            /** @description of the pass or failure */
            on?: string;
            site: components["schemas"]["WordsSite"];
            /** @enum {string} */
            state: "owed" | "returned" | "send-again" | "filed" | "accepted";
            words: string;
        };
        PapersPicture: {
            sha256: string;
            shows?: string;
            /** Format: date-time */
            taken: string;
        };
        PapersRepairDone: {
            did: string;
            licence?: string;
            on: string;
            parts?: string[] | null;
            who: string;
        };
        PapersReport: {
            assembly: string;
            /**
             * Format: int64
             * @description tests on record besides these two
             */
            between?: number;
            /** @description fields that are not on record */
            blank: string[] | null;
            /** @description the computed verdict, where it differs from the tester's */
            doubt?: string;
            filings: components["schemas"]["PapersFiling"][] | null;
            final?: components["schemas"]["PapersReportTest"];
            firm: string;
            initial?: components["schemas"]["PapersReportTest"];
            job: string;
            /** @description signed copies that results were keyed in from */
            papers?: components["schemas"]["PapersSignedCopy"][] | null;
            /** @description taken at the stop, for the screen */
            photos?: components["schemas"]["PapersPicture"][] | null;
            /** Format: date-time */
            printed: string;
            purveyor: string;
            remarks: string[] | null;
            repairs: components["schemas"]["PapersRepairDone"][] | null;
            /** @description one a result: the initial and the final test side by side */
            rows: components["schemas"]["PapersReportRow"][] | null;
            sections: components["schemas"]["PapersSection"][] | null;
            signatures: components["schemas"]["PapersSignature"][] | null;
            statement: string;
            /**
             * @description the tester's, of the last test
             * @enum {string}
             */
            verdict: "pass" | "fail" | "not-completed" | "none";
            /** @description the kind of job */
            why: string;
            /** @description of the site; every time on the report is on its clocks */
            zone: string;
        };
        PapersReportRow: {
            component: string;
            final?: string;
            initial?: string;
            /** @enum {string} */
            part: "main" | "bypass";
        };
        PapersReportTest: {
            /** Format: date-time */
            at: string;
            /** @description check 1 minus relief */
            buffer?: string;
            bypass_buffer?: string;
            certificate?: string;
            certificate_until?: string;
            computed?: string;
            disagrees?: boolean;
            /** @description serial */
            gauge: string;
            /** @description the laboratory, and where */
            gauge_calibrated_by?: string;
            /** @description its accuracy check, the newest before the test */
            gauge_calibrated_on?: string;
            gauge_maker?: string;
            gauge_model?: string;
            /** @description the last day of its certificate as it stood at the test */
            gauge_until?: string;
            line_pressure?: string;
            /** @description although a shut-off leaked */
            no_flow_proved?: boolean;
            procedure?: string;
            profile?: string;
            /** @description with the purveyor */
            registered_until?: string;
            /** @description the tester's verdict */
            says: string;
            shut_off_1?: string;
            shut_off_2?: string;
            tester: string;
            /** @description what the computed verdict rests on, where it is no pass */
            why?: string[] | null;
        };
        PapersSection: {
            fields: components["schemas"]["PapersField"][] | null;
            title: string;
        };
        PapersSignature: {
            /** @description printed beside the line */
            name?: string;
            says: string;
            who: string;
        };
        PapersSignedCopy: {
            keyed_by: string;
            /** @description of the attached copy */
            sha256: string;
            signed_on: string;
            tester: string;
        };
        PapersStoppedJob: {
            due: string;
            job: string;
            site: components["schemas"]["WordsSite"];
        };
        PapersStoppedVisit: {
            /** @description its letter */
            crew: string;
            date: string;
            /**
             * @description proposed: in the day's plan, not sent out yet
             * @enum {string}
             */
            how: "sent-out" | "proposed";
            jobs: string[] | null;
            site: components["schemas"]["WordsSite"];
        };
        PasswordRequest: {
            old: string;
            password: string;
        };
        PhoneView: {
            /** @description the browser, as it describes itself */
            agent?: string;
            crew: components["schemas"]["WordsCrew"];
            id: string;
            name?: string;
            person: string;
            revoked: boolean;
            /** Format: date-time */
            seen?: string;
            /** Format: date-time */
            since: string;
            /** @description the person's name */
            who: string;
        };
        PlaceRequest: {
            /** Format: double */
            lat: number;
            /** Format: double */
            lon: number;
            site: string;
            /**
             * @description how sure it is
             * @enum {string}
             */
            source: "surveyed" | "address-point" | "street" | "approximate";
            /** @description what it was matched by */
            words?: string;
        };
        PlacesRequest: {
            command_id: string;
            places: components["schemas"]["PlaceRequest"][] | null;
        };
        PlacesTaken: {
            /** Format: int64 */
            position: number;
            refused: components["schemas"]["RefusedView"][] | null;
            /** Format: int64 */
            taken: number;
            /**
             * Format: int64
             * @description they were so on record already
             */
            unchanged: number;
        };
        PlanRequest: {
            /**
             * Format: double
             * @description for the search; the default suits the demo
             */
            seconds?: number;
        };
        PlannerExplained: {
            /** Format: double */
            default: number;
            group: string;
            name: string;
            /** Format: double */
            number: number;
            unit: string;
            words: string;
        };
        PlannerValue: {
            name: string;
            /** Format: double */
            number: number;
        };
        PositionsView: {
            /** @description what was read → the header it stood under */
            columns: {
                [key: string]: string;
            };
            /** @description of proposals: sure, likely, ask, no */
            counts: {
                [key: string]: number;
            };
            /** @description the first of them */
            faults: components["schemas"]["FaultView"][] | null;
            /** Format: int64 */
            faulty: number;
            file: string;
            /** @description the surest first */
            proposals: components["schemas"]["ProposalView"][] | null;
            /** Format: int64 */
            rows: number;
            /**
             * @description what its rows are
             * @enum {string}
             */
            source: "address-point" | "street" | "approximate";
        };
        ProposalView: {
            agrees: string[] | null;
            /** @description null: nothing was found */
            at: {
                lat: number;
                lon: number;
            } | null;
            differs: string[] | null;
            /**
             * Format: int64
             * @description further rows that match as well and lie elsewhere
             */
            others?: number;
            /** Format: int64 */
            row?: number;
            site: components["schemas"]["WordsSite"];
            source: string;
            /** @enum {string} */
            sure: "sure" | "likely" | "ask" | "no";
            /** @description the address that matched, as the file has it */
            text?: string;
            words: string;
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
        ReadingsRequest: {
            /** @description the event in which the test was recorded */
            about: string;
            assembly: string;
            /** @description the person who says so: the tester */
            by: string;
            command_id: string;
            job: string;
            /** @description as read in truth, with the tester's verdict as it was */
            test: components["schemas"]["EventsTest"];
            /** @description why */
            words: string;
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
        RefusedView: {
            site: string;
            words: string;
        };
        RestRequest: {
            command_id: string;
            digest: string;
            /** @description for the history and the crews */
            why: string;
        };
        RolesRequest: {
            command_id: string;
            roles: string[] | null;
            why?: string;
        };
        SearchHit: {
            detail?: string;
            id: string;
            /** @enum {string} */
            kind: "job" | "assembly" | "site" | "customer";
            /** @description the job is over, or the unit is gone */
            over?: boolean;
            /** @description where it is opened, with its history */
            page: string;
            /**
             * Format: int64
             * @description 100: every word as it stands; the weights are our own
             */
            score: number;
            title: string;
            /** @description what matched: serial: AB-1042 */
            why: string;
        };
        SearchResults: {
            /** @description the best first */
            hits: components["schemas"]["SearchHit"][] | null;
            query: string;
            /** Format: int64 */
            total: number;
        };
        SendRequest: {
            command_id: string;
            digest: string;
        };
        SetUpRequest: {
            /** @description the name to sign in with */
            login: string;
            name: string;
            password: string;
            /** @description of the link that the server printed */
            token: string;
        };
        SettingsRequest: {
            by?: string;
            command_id: string;
            values: components["schemas"]["PlannerValue"][] | null;
            why?: string;
        };
        SettingsView: {
            /** Format: date-time */
            changed_at?: string;
            changed_by?: string;
            learned: components["schemas"]["LearnedView"][] | null;
            /**
             * Format: int64
             * @description recorded times that are no work's
             */
            left_out: number;
            settings: components["schemas"]["PlannerExplained"][] | null;
            why?: string;
        };
        SignInRequest: {
            login: string;
            password: string;
        };
        SigninSessionView: {
            /** @description the browser, as it describes itself */
            agent?: string;
            id: string;
            /** Format: date-time */
            made: string;
            person: string;
            /** Format: date-time */
            seen: string;
            /** @description the one that asks */
            this?: boolean;
        };
        SupposeRequest: {
            suppose: components["schemas"]["DispatchSupposed"][] | null;
        };
        TakeBackRequest: {
            command_id: string;
            why?: string;
        };
        TakeRequest: {
            command_id: string;
        };
        TakenItem: {
            command_id: string;
            label: string;
            /** @enum {string} */
            outcome: "recorded" | "known" | "refused";
            /** @description why it was refused, or what looks impossible beside it */
            words?: string[] | null;
        };
        TrustView: {
            /** @description SHA-256 of the certificate */
            fingerprint?: string;
            /** @description under which a phone lists it */
            name?: string;
            /** @description that the server is asked under */
            names: string[] | null;
            /** @description false: the certificate is from an authority that browsers know, or none is used */
            own: boolean;
            /** Format: date-time */
            until?: string;
        };
        UndoRequest: {
            command_id: string;
        };
        UnplacedView: {
            /**
             * Format: int64
             * @description without any: they are not planned
             */
            missing: number;
            /** @description those without one first */
            sites: components["schemas"]["WordsSite"][] | null;
            /**
             * Format: int64
             * @description street or approximate: planned with a margin
             */
            unsure: number;
        };
        WelcomeRequest: {
            password: string;
            token: string;
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
        WithdrawTimeRequest: {
            command_id: string;
            /** @description as it was agreed */
            feed?: string;
            /** Format: date-time */
            from: string;
            site: string;
            /** Format: date-time */
            to: string;
            why: string;
        };
        WordsBreak: {
            /** @description the name of the site */
            at: string;
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
        };
        WordsCrew: {
            /** @description degrees north and east; null when it is not known */
            home: {
                lat: number;
                lon: number;
            } | null;
            id: string;
            letter: string;
            name: string;
            /** @description why it does not work on the day asked about */
            off?: string;
            /** @description names, from the details kept apart from the log */
            people: string[] | null;
        };
        WordsDetails: {
            code?: string;
            name?: string;
            phone?: string;
        };
        WordsJob: {
            assembly: string;
            /** @description the use before which it must be done, in words */
            before_use?: string;
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
            /** @description degrees north and east; null when it is not known */
            position: {
                lat: number;
                lon: number;
            } | null;
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
            /** @description on a sent-out day: nothing of it is recorded yet, so that it may be changed */
            ahead?: boolean;
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
            /** @description on a sent-out day, in words: at the site since 07:02, done 07:41, expected late */
            state?: string;
            /** Format: int64 */
            wait_s: number;
            water_off: components["schemas"]["WordsWaterOff"][] | null;
        };
        WordsWaterOff: {
            /**
             * Format: date-time
             * @description no unit is opened for a repair later than this
             */
            decide_by?: string;
            feed: string;
            fire?: boolean;
            /** Format: date-time */
            from: string;
            name: string;
            /** @description no repair fits before the water must be back */
            test_only?: boolean;
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
    accounts: {
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
                    "application/json": components["schemas"]["AccountView"][] | null;
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
    "open-account": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["AccountRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["InviteView"];
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
    "close-account": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                person: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CloseRequest"];
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
    invite: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                person: string;
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
                    "application/json": components["schemas"]["InviteView"];
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
    "set-roles": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                person: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["RolesRequest"];
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
    alarms: {
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
                    "application/json": components["schemas"]["CrewAlarmView"][] | null;
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
    "job-fits": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
                job: string;
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
                    "application/json": components["schemas"]["FitsView"];
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
    "paper-form": {
        parameters: {
            query?: {
                /** @description when the paper was signed; default: today */
                on?: string;
            };
            header?: never;
            path: {
                id: string;
                job: string;
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
                    "application/json": components["schemas"]["CrewForm"];
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
    report: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
                job: string;
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
                    "application/json": components["schemas"]["PapersReport"];
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
    "report-pdf": {
        parameters: {
            query?: {
                /** @description size of the sheets */
                paper?: "letter" | "a4";
            };
            header?: never;
            path: {
                id: string;
                job: string;
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
    attach: {
        parameters: {
            query?: never;
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
                    "application/json": components["schemas"]["Attachment"];
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
    attachment: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                hash: string;
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
    "bulk-read": {
        parameters: {
            query: {
                /** @description name of the file */
                file: string;
            };
            header?: never;
            path: {
                kind: "customers" | "sites" | "feeds" | "assemblies" | "crews" | "gauges" | "kits" | "purveyors";
            };
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
                    "application/json": components["schemas"]["BulkView"];
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
    "bulk-file": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                kind: "customers" | "sites" | "feeds" | "assemblies" | "crews" | "gauges" | "kits" | "purveyors";
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
    "bulk-take": {
        parameters: {
            query: {
                /** @description name of the file */
                file: string;
                command_id: string;
                /** @description of the differences that were seen */
                digest: string;
            };
            header?: never;
            path: {
                kind: "customers" | "sites" | "feeds" | "assemblies" | "crews" | "gauges" | "kits" | "purveyors";
            };
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
                    "application/json": components["schemas"]["BulkReceipt"];
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
    "agreed-calendar": {
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
    "crew-calendar": {
        parameters: {
            query?: never;
            header?: never;
            path: {
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
    "feed-hours-calendar": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                feed: string;
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
    "site-hours-calendar": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
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
    calls: {
        parameters: {
            query?: {
                weeks?: number;
            };
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
                    "application/json": components["schemas"]["CallsView"];
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
    "note-call": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CallRequest"];
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
    "ask-booking": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["BookingRequest"];
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
    "withdraw-time": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WithdrawTimeRequest"];
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
    "change-out": {
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
                "application/json": components["schemas"]["ChangeOutRequest"];
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
    "plan-rest": {
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
                    "application/json": components["schemas"]["DispatchOtherwise"];
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
    "send-rest": {
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
                "application/json": components["schemas"]["RestRequest"];
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
    "route-sheets": {
        parameters: {
            query?: {
                /** @description size of the sheets */
                paper?: "letter" | "a4";
                /** @description only this crew's */
                crew?: string;
            };
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
    suppose: {
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
                "application/json": components["schemas"]["SupposeRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DispatchOtherwise"];
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
    undo: {
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
                "application/json": components["schemas"]["UndoRequest"];
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
    expiries: {
        parameters: {
            query?: {
                /** @description how far ahead */
                days?: number;
            };
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
                    "application/json": components["schemas"]["PapersExpiries"];
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
    "fill-feeds": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FilledRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FilledReceipt"];
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
    "take-outbox": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["OutboxFile"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["TakenItem"][] | null;
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
    filing: {
        parameters: {
            query?: {
                /** @description accepted reports are shown when filed within so many days */
                accepted_days?: number;
            };
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
                    "application/json": components["schemas"]["PapersFilingList"];
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
    story: {
        parameters: {
            query?: {
                most?: number;
            };
            header?: never;
            path: {
                kind: "assembly" | "site" | "feed" | "customer" | "crew" | "gauge" | "kit" | "purveyor" | "person";
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
                    "application/json": components["schemas"]["BacklogStoryView"];
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
    invoicing: {
        parameters: {
            query: {
                from: string;
                to: string;
            };
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
    "open-job": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["JobRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["JobReceipt"];
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
    backup: {
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
    "paper-result": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PaperResultRequest"];
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
    "change-password": {
        parameters: {
            query?: never;
            header?: {
                "User-Agent"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
    phones: {
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
                    "application/json": components["schemas"]["PhoneView"][] | null;
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
    "phone-code": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CodeRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CodeView"];
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
    "enrol-phone": {
        parameters: {
            query?: never;
            header?: {
                "User-Agent"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["EnrolRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    "Set-Cookie"?: string;
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
    "revoke-phone": {
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
                "application/json": components["schemas"]["CloseRequest"];
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
    unplaced: {
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
                    "application/json": components["schemas"]["UnplacedView"];
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
    "read-positions": {
        parameters: {
            query: {
                /** @description name of the file */
                file: string;
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
                    "application/json": components["schemas"]["PositionsView"];
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
    "read-coordinates": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CoordinatesRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CoordinatesView"];
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
    "take-positions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PlacesRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PlacesTaken"];
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
    "correct-readings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["ReadingsRequest"];
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
    "list-assemblies": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryAssemblyFacts"][] | null;
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
    "enter-assemblies": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestAssemblyFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-assemblies": {
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
                    "application/json": components["schemas"]["EntryAssemblyFacts"];
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
    "mend-assemblies": {
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
                "application/json": components["schemas"]["FormRequestAssemblyFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-crews": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryCrewFacts"][] | null;
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
    "enter-crews": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestCrewFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-crews": {
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
                    "application/json": components["schemas"]["EntryCrewFacts"];
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
    "mend-crews": {
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
                "application/json": components["schemas"]["FormRequestCrewFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-customers": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryCustomerFacts"][] | null;
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
    "enter-customers": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestCustomerFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-customers": {
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
                    "application/json": components["schemas"]["EntryCustomerFacts"];
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
    "mend-customers": {
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
                "application/json": components["schemas"]["FormRequestCustomerFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-feeds": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryFeedFacts"][] | null;
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
    "enter-feeds": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestFeedFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-feeds": {
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
                    "application/json": components["schemas"]["EntryFeedFacts"];
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
    "mend-feeds": {
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
                "application/json": components["schemas"]["FormRequestFeedFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-gauges": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryGaugeFacts"][] | null;
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
    "enter-gauges": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestGaugeFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-gauges": {
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
                    "application/json": components["schemas"]["EntryGaugeFacts"];
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
    "mend-gauges": {
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
                "application/json": components["schemas"]["FormRequestGaugeFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-kits": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryKitFacts"][] | null;
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
    "enter-kits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestKitFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-kits": {
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
                    "application/json": components["schemas"]["EntryKitFacts"];
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
    "mend-kits": {
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
                "application/json": components["schemas"]["FormRequestKitFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-people": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryPersonFacts"][] | null;
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
    "enter-people": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestPersonFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-people": {
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
                    "application/json": components["schemas"]["EntryPersonFacts"];
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
    "mend-people": {
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
                "application/json": components["schemas"]["FormRequestPersonFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-purveyors": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntryPurveyorFacts"][] | null;
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
    "enter-purveyors": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestPurveyorFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-purveyors": {
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
                    "application/json": components["schemas"]["EntryPurveyorFacts"];
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
    "mend-purveyors": {
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
                "application/json": components["schemas"]["FormRequestPurveyorFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "list-sites": {
        parameters: {
            query?: {
                from?: number;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["EntrySiteFacts"][] | null;
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
    "enter-sites": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FormRequestSiteFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    "one-of-sites": {
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
                    "application/json": components["schemas"]["EntrySiteFacts"];
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
    "mend-sites": {
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
                "application/json": components["schemas"]["FormRequestSiteFacts"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FormReceipt"];
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
    search: {
        parameters: {
            query?: {
                q?: string;
                limit?: number;
            };
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
                    "application/json": components["schemas"]["SearchResults"];
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
    sessions: {
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
                    "application/json": components["schemas"]["SigninSessionView"][] | null;
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
    "end-session": {
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
            /** @description No Content */
            204: {
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
    "set-up": {
        parameters: {
            query?: never;
            header?: {
                "User-Agent"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SetUpRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
    settings: {
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
                    "application/json": components["schemas"]["SettingsView"];
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
    "change-settings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SettingsRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SettingsView"];
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
    door: {
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
                    "application/json": components["schemas"]["DoorView"];
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
    "sign-in": {
        parameters: {
            query?: never;
            header?: {
                "User-Agent"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SignInRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    "Set-Cookie"?: string;
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
    "sign-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: {
                "__Host-session"?: string;
            };
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    "Set-Cookie"?: string;
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
    bookings: {
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
                    "application/json": components["schemas"]["BookingsView"];
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
    disuse: {
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
                    "application/json": components["schemas"]["DisuseView"];
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
    trust: {
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
                    "application/json": components["schemas"]["TrustView"];
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
    "trust-der": {
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
    "trust-pem": {
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
    unfilled: {
        parameters: {
            query?: {
                customer?: string;
                site?: string;
            };
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
                    "application/json": components["schemas"]["BacklogUnfilled"];
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
    welcome: {
        parameters: {
            query?: never;
            header?: {
                "User-Agent"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WelcomeRequest"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DoorView"];
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
