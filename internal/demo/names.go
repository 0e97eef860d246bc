package demo

// First names in use in many places; none of them belongs to anyone in particular.
var girlNames = []string{"Aanya", "Abena", "Alba", "Amina", "Anouk", "Aoife", "Ayla", "Beatrix", "Bronwen", "Carys", "Chidera", "Cleo",
	"Daisy", "Dilys", "Efua", "Elodie", "Esme", "Farah", "Fern", "Freya", "Greta", "Hana", "Harriet", "Ines", "Iona", "Isla", "Jamila",
	"Juno", "Kavya", "Keziah", "Lena", "Leila", "Lottie", "Maeve", "Mahi", "Matilda", "Mina", "Nadia", "Niamh", "Noor", "Olive", "Orla",
	"Padma", "Poppy", "Quinn", "Rhea", "Rosa", "Saanvi", "Seren", "Sunniva", "Tabitha", "Tamsin", "Thea", "Uma", "Vera", "Willa", "Xanthe",
	"Yara", "Zahra", "Zuri"}

var boyNames = []string{"Aarav", "Abel", "Adil", "Alfie", "Amos", "Anders", "Arlo", "Bilal", "Bruno", "Caleb", "Cian", "Cosmo", "Dafydd",
	"Dara", "Dev", "Ebo", "Edmund", "Elias", "Emeka", "Ewan", "Farid", "Felix", "Fionn", "Gethin", "Hamza", "Hugo", "Idris", "Ilan", "Ivo",
	"Jago", "Jonah", "Kabir", "Kasper", "Kofi", "Leif", "Lorcan", "Mateo", "Milo", "Musa", "Nico", "Nikhil", "Olin", "Omari", "Otis", "Pavel",
	"Piers", "Rafi", "Reuben", "Rhys", "Rowan", "Samir", "Silas", "Soren", "Tariq", "Tobias", "Tomasz", "Umar", "Vikram", "Wilf", "Yusuf",
	"Zac", "Zeki"}

// Surnames are put together from these halves, so that they are nobody's.
var (
	surnameHeads = []string{"Alder", "Bram", "Calder", "Dunner", "Ever", "Fenner", "Gorse", "Hallow", "Isen", "Jessa", "Kelder", "Linnet",
		"Marl", "Nether", "Orrin", "Penna", "Quill", "Rushen", "Sorrel", "Tarn", "Umber", "Venn", "Wex", "Yarrow", "Zeal"}
	surnameTails = []string{"brock", "combe", "drift", "fold", "garth", "hollin", "keld", "lade", "mere", "nock", "pike", "quist", "rigg",
		"sett", "thwaite", "vane", "wray", "yard"}
)

// placeNames are places that are on no map. The last club is a school.
var placeNames = []string{"Ashlode", "Brindlemere", "Corvenham", "Dunsallow", "Eskenholt", "Fallowick", "Gravenhythe", "Hexenby",
	"Innerleat", "Jorrowdean", "Kestlewater", "Marrowby"}

const regionName = "Vale of Aldren"

// name makes a full name that nobody in the region has yet.
func (b *builder) name(girl bool) string {
	first := boyNames
	if girl {
		first = girlNames
	}
	for {
		n := first[b.r.IntN(len(first))] + " " + surnameHeads[b.r.IntN(len(surnameHeads))] + surnameTails[b.r.IntN(len(surnameTails))]
		if !b.called[n] {
			b.called[n] = true
			return n
		}
	}
}
