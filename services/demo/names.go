package demo

// All names are made up.

const countyName = "Tessaby County"

var townNames = []string{
	"Quellham", "Orrinvale", "Dunmarrow", "Pellisgate", "Vennock", "Sorrelby", "Hathmere Ferry", "Ibberton Mills", "Cradlow",
	"Murnley", "Fenwarrow", "Ostlebury", "Karrowick", "Tolvane", "Brisselford", "Yarrendale", "Lommerton", "Jessamere",
	"Wickenstow", "Ambrill", "Nethercombe Halt", "Gorsewick", "Rudderby", "Selmarsh", "Pommelford", "Tarrowden", "Eskelby",
	"Quorrelden Oaks", "Hobbleigh", "Dremlow", "Larkenfell", "Uddersby", "Vallerton", "Mistlecross", "Skerrowby", "Burrendale",
	"Olmstoke", "Crannoway", "Thessaly Bend", "Wendlemoor",
}

var streetNames = []string{
	"Alder", "Birch", "Canal", "Depot", "East", "Foundry", "Granary", "Hillside", "Ironworks", "Juniper", "Kiln", "Locust",
	"Market", "North", "Orchard", "Pasture", "Quarry", "Reservoir", "School", "Tannery", "Union", "Vineyard", "Well", "Yard",
}

var streetKinds = []string{"Street", "Road", "Lane", "Avenue", "Drive"}

var familyNames = []string{
	"Abernault", "Bexwold", "Carrigane", "Dovell", "Ekstrome", "Farrowin", "Gullimore", "Hestrand", "Ivanek", "Jorvald",
	"Kettleson", "Lindqvar", "Mabbeth", "Norrigan", "Okonde", "Pavlish", "Quintrell", "Rasmund", "Sandovar", "Tremblow",
	"Ulverson", "Vastola", "Wexcombe", "Yamadori", "Zelinko", "Brannick", "Castellow", "Drummel", "Esparo", "Fontaire",
}

var givenNames = []string{
	"Ada", "Ben", "Carla", "Dev", "Elena", "Femi", "Grace", "Hugo", "Ines", "Jonas", "Kemi", "Lars", "Mina", "Nadia", "Omar",
	"Petra", "Quinn", "Rosa", "Sami", "Tess", "Uma", "Viktor", "Wanda", "Yusuf", "Zoe",
}

var placeWords = []string{
	"Copper Kettle", "Blue Lantern", "Stone Bridge", "Red Barn", "Willow Bend", "Old Mill", "Three Oaks", "Silver Birch",
	"Harbour Light", "Long Meadow", "High Field", "Maple Court", "River Walk", "Sun Dial", "White Gate", "Green Lane",
	"Iron Horse", "Quiet Corner", "Fox Hollow", "Heron Pond", "Juniper Hill", "Lime Kiln", "Market Cross", "North Star",
}
