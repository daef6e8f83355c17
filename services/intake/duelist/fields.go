package duelist

import (
	"strings"
	"unicode"
)

// Field is what a column holds.
type Field string

// The fields. FieldIgnore is a decision: the column is not read. The empty Field is not yet decided or
// not recognised, and is not read either.
const (
	FieldNumber       Field = "number" // the purveyor's own number for the assembly
	FieldAccount      Field = "account"
	FieldCustomer     Field = "customer"
	FieldAddress      Field = "address" // where the assembly is
	FieldAddress2     Field = "address-2"
	FieldStreetNumber Field = "street-number"
	FieldStreetName   Field = "street-name"
	FieldCity         Field = "city"
	FieldPostCode     Field = "post-code"
	FieldContact      Field = "contact"
	FieldPhone        Field = "phone"
	FieldPlace        Field = "place" // where at the address, in words
	FieldType         Field = "type"
	FieldPart         Field = "part" // main or bypass
	FieldSize         Field = "size"
	FieldMaker        Field = "maker"
	FieldModel        Field = "model"
	FieldSerial       Field = "serial"
	FieldBypassNumber Field = "bypass-number"
	FieldBypassSize   Field = "bypass-size"
	FieldBypassMaker  Field = "bypass-maker"
	FieldBypassModel  Field = "bypass-model"
	FieldBypassSerial Field = "bypass-serial"
	FieldMeter        Field = "meter"
	FieldService      Field = "service"
	FieldHazard       Field = "hazard"
	FieldDue          Field = "due"
	FieldLastTest     Field = "last-test"
	FieldStatus       Field = "status"
	FieldStanding     Field = "standing" // ours, not ours, or who tests it
	FieldNotes        Field = "notes"
	FieldProblem      Field = "problem" // what SaveRejected added; never read
	FieldIgnore       Field = "ignore"
)

// Fields lists every field a column can be given, in the order a form would show them.
func Fields() []Field {
	fields := make([]Field, 0, len(synonyms)+1)
	for _, s := range synonyms {
		fields = append(fields, s.field)
	}
	return fields
}

// synonyms are headers in use, as headerKey writes them [common practice]. What stands here is certain.
var synonyms = []struct {
	field Field
	words string // separated by bars
}{
	{FieldNumber, "assembly no|assembly id|device no|device id|bfp no|bfp id|backflow no|backflow id|backflow device no|backflow device id|backflow assembly no|backflow assembly id|asset no|asset id|purveyor no|purveyor number|ccc no|ccc id"},
	{FieldAccount, "account|account no|acct|acct no|account id|customer no|customer id|service account|utility account|premise id|premise no|premises no|premises id"},
	{FieldCustomer, "customer|customer name|owner|owner name|facility|facility name|business|business name|site name|company name|account name|property name|name|premises name"},
	{FieldAddress, "address|service address|site address|location address|street address|premises address|premise address|property address|facility address|address 1|address line 1|device address|assembly address|svc address|svc addr|service addr|addr"},
	{FieldAddress2, "address 2|address line 2|suite|apt|suite no|unit suite"},
	{FieldStreetNumber, "street no|house no|address no|st no"},
	{FieldStreetName, "street name|street|st name"},
	{FieldCity, "city|town|municipality|city town|service city|site city"},
	{FieldPostCode, "zip|zip code|postal code|postcode|post code|zipcode|service zip"},
	{FieldContact, "contact|contact name|contact person|site contact"},
	{FieldPhone, "phone|phone no|telephone|tel|contact phone|telephone no"},
	{FieldPlace, "device location|assembly location|location of device|location of assembly|location description|location on site|location notes|location details|bfp location|backflow location|location|loc|placement"},
	{FieldType, "type|device type|assembly type|type of device|type of assembly|backflow type|bfp type|assy type|backflow device type|backflow assembly type"},
	{FieldPart, "part|main bypass|main or bypass|mainline bypass|main bypass part"},
	{FieldSize, "size|size in|size inches|device size|assembly size|pipe size|line size|diameter|valve size|main size|dia|nominal size|bfp size|assy size|size inch"},
	{FieldMaker, "maker|make|manufacturer|mfr|mfg|mfgr|manuf|brand|manufacturer name|main make|main maker|main manufacturer"},
	{FieldModel, "model|model no|model name|main model|main model no"},
	{FieldSerial, "serial|serial no|ser no|sn|s n|serial num|device serial|assembly serial|device serial no|assembly serial no|backflow serial no|bfp serial no|main serial|main serial no|mainline serial|mainline serial no"},
	{FieldBypassNumber, "bypass no|bypass id|bypass device no|bypass assembly no"},
	{FieldBypassSize, "bypass size|bypass size in|bp size"},
	{FieldBypassMaker, "bypass make|bypass maker|bypass manufacturer|bp make|bypass mfr"},
	{FieldBypassModel, "bypass model|bypass model no|bp model"},
	{FieldBypassSerial, "bypass serial|bypass serial no|bypass sn|bypass s n|bp serial|bp serial no"},
	{FieldMeter, "meter|meter no|meter id|meter serial|meter serial no|water meter|water meter no|mtr no"},
	{FieldService, "service|service type|use|usage|water use|line type|application|type of service|service use|water service"},
	{FieldHazard, "hazard|hazard level|degree of hazard|hazard class|hazard type|hazard rating|hazard degree"},
	{FieldDue, "due|due date|date due|test due|test due date|next test|next test due|next test date|next due|next due date|due by|compliance date|deadline|annual due|annual test due|annual due date|expires|expiration|expiration date|test by|test deadline|anniversary|anniversary date|required by"},
	{FieldLastTest, "last test|last tested|last test date|last tested on|date tested|date last tested|previous test|previous test date|date of last test|last passed|last pass|tested on|prior test|last test passed"},
	{FieldStatus, "status|test status|compliance|compliance status|device status|assembly status"},
	{FieldStanding, "ours|ordered|order|assigned|assigned to|tester|testing company|test company|tester company|contractor|who tests|contracted|standing"},
	{FieldNotes, "notes|note|comments|comment|remarks|remark|memo|special instructions|instructions"},
	{FieldProblem, "problem"},
	{FieldIgnore, "mailing address|billing address|owner address|mail address|mailing city|mailing zip|mailing state|billing city|state|st|county|row|line no|install date|date installed|installed|latitude|longitude|email|e mail"},
}

var exactHeaders = func() map[string]Field {
	exact := map[string]Field{}
	for _, s := range synonyms {
		for word := range strings.SplitSeq(s.words, "|") {
			exact[headerKey(word)] = s.field
		}
	}
	return exact
}()

// phrases make a header likely when all words of one alternative occur in it; the first that fits wins.
// A word may be the beginning of a longer one when it ends in a star.
var phrases = []struct {
	field Field
	words string
}{
	{FieldIgnore, "mailing|billing|owner address|install* date|date install*|amount|balance|fee*|account status"},
	{FieldBypassSerial, "bypass serial|bypass sn"},
	{FieldBypassSize, "bypass size"},
	{FieldBypassMaker, "bypass make*|bypass manufact*"},
	{FieldBypassModel, "bypass model"},
	{FieldBypassNumber, "bypass no|bypass id"},
	{FieldMeter, "meter"},
	{FieldSerial, "serial"},
	{FieldLastTest, "last test*|last pass*|last inspect*|previous test*|prior test*|test date|date test*"},
	{FieldDue, "due|deadline|expir*|next test*|complian* date|anniversary"},
	{FieldAddress, "address|addr"},
	{FieldHazard, "hazard"},
	{FieldSize, "size|diameter"},
	{FieldMaker, "manufact*|make"},
	{FieldModel, "model"},
	{FieldType, "type device|type assembly|type backflow|type bfp"},
	{FieldAccount, "account|acct"},
	{FieldPlace, "location|where"},
	{FieldNotes, "note*|comment*|remark*"},
	{FieldStatus, "status"},
	{FieldCustomer, "customer|owner|facility|business|tenant|occupant"},
	{FieldPhone, "phone|telephone"},
	{FieldPostCode, "zip|postal|postcode"},
	{FieldCity, "city|town"},
}

// numberPhrases come before phrases: "Backflow Assembly ID" is a number and no type.
var numberPhrases = "assembly no|assembly id|device no|device id|backflow no|backflow id|bfp no|bfp id"

// headerKey writes a header in one way: small letters, one blank between words, "number", "num" and "#"
// as "no".
func headerKey(text string) string {
	text = strings.ReplaceAll(strings.ToLower(text), "#", " no ")
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for i, w := range words {
		if w == "number" || w == "num" || w == "nr" || w == "numb" {
			words[i] = "no"
		}
	}
	// "Serial No. #" says number twice
	kept := words[:0]
	for i, w := range words {
		if w == "no" && i > 0 && words[i-1] == "no" {
			continue
		}
		kept = append(kept, w)
	}
	return strings.Join(kept, " ")
}

// Sure says how a field was found.
type Sure string

// How sure a proposal is.
const (
	Certain Sure = "certain" // the header is a known name for the field
	Likely  Sure = "likely"  // the header contains the words
	Unsure  Sure = "unsure"  // only the values look like it
	ByHand  Sure = "by-hand" // somebody decided
)

// fieldOf recognises a header.
func fieldOf(header string) (Field, Sure) {
	key := headerKey(header)
	if key == "" {
		return "", ""
	}
	if field, ok := exactHeaders[key]; ok {
		return field, Certain
	}
	if key == "no" || key == "id" {
		return FieldNumber, Likely
	}
	words := strings.Fields(key)
	bypass := hasPhrase(words, "bypass")
	if !bypass && !hasPhrase(words, "serial|meter|type|size|location|address|status|due") && hasPhrase(words, numberPhrases) {
		return FieldNumber, Likely
	}
	for _, p := range phrases {
		if hasPhrase(words, p.words) {
			return p.field, Likely
		}
	}
	return "", ""
}

// hasPhrase says that all words of one of the alternatives occur.
func hasPhrase(words []string, alternatives string) bool {
	for phrase := range strings.SplitSeq(alternatives, "|") {
		all := true
		for want := range strings.FieldsSeq(phrase) {
			all = all && hasWord(words, want)
		}
		if all {
			return true
		}
	}
	return false
}

func hasWord(words []string, want string) bool {
	stem, begins := strings.CutSuffix(want, "*")
	for _, w := range words {
		if w == stem || begins && strings.HasPrefix(w, stem) {
			return true
		}
	}
	return false
}
