//! The texts that writer and reader of a link both know before they begin.
//!
//! Owns what [`super::dense`] is taught: made-up texts of each kind, so that words and letters
//! which are likely in a quote come out short. A link of version 2 can be read with exactly these
//! samples only; others would be another version.

use super::dense::Kind;

/// The samples, by kind; a bar parts them.
pub const SAMPLES: &[(Kind, &str)] = &[
    (
        Kind::Prose,
        "Please check the spelling of every name and number. Letters are pressed exactly as they are \
         written on this quote, in capital letters.|A deposit is due when you order; the balance is due \
         when the shirts are collected.|We start when the deposit has been paid and you have said yes to \
         this quote.|Prices are valid for 30 days. Changes after the order has been placed may change the \
         price and the date.|Names cannot be changed once the letters have been bought. Custom garments \
         cannot be returned or exchanged, except for our own mistakes.|We replace any garment with a \
         mistake of ours free of charge.|Wash inside out, cold, gentle cycle, and do not iron over the \
         letters. Do not dry clean or bleach. Tumble dry low.|Bring your own shirts: we take no \
         responsibility for garments that you bring.|Pick up at the shop, Monday to Friday 9 am to 5 pm. \
         Shipping is extra. Rush orders on request.|about 10 working days after the deposit|ready in two \
         weeks|within 5 days|info@printshop.example|hello@letters.example, 555-0123|Call or text (555) 555-0142, \
         12 Main Street|Lettering Company|Sportswear and Printing|Team Shirts|High School Soccer Club 2026|Tigers|\
         Family Reunion|OTTERS|COACH|STAFF|{name}|{number}|{name} {number}|USD|EUR|",
    ),
    (
        Kind::Term,
        "smooth film|glitter film|flock|stitched-look twill|matte film|white|black|navy|red|royal blue|gold|silver|\
         green|grey|pink|orange|purple|yellow|club tee, navy|cotton t-shirt, black|hoodie, heather grey|sweatshirt, \
         white|long sleeve jersey, royal blue|youth tee, red|polo shirt, maroon|across_shoulders|upper_back|middle_back|\
         lower_back|across_chest|left_chest|right_chest|left_sleeve|right_sleeve|garment|finish|colour|letter style|block|",
    ),
    (
        Kind::Name,
        "Anderson|Johnson|Smith|Miller|Garcia|Martinez|Thompson|Williams|Nguyen|Schneider|Kowalski|Hernandez|Brown|\
         Campbell|Rodriguez|Petersen|Kim|Lee|Patel|Rossi|Jones|O'Connor|MacDonald|Van der Berg|Silva|Sanchez|Walker|\
         Wilson|Harris|Clark|Lewis|Young|King|Wright|Hill|Green|Baker|Nelson|Carter|Mitchell|Roberts|Turner|Phillips|\
         Emma|Olivia|Liam|Noah|Sophia|Mia|Ethan|Alexander|Charlotte|Benjamin|Isabella|Daniel|Christopher|Katherine|\
         Maria|Jose|Anna|Max|Jack|Lily|Grace|Hannah|Sam|Ben|Chloe|Zoe|Tyler|Logan|Aiden|Marie|Elena|Ivan|Yusuf|",
    ),
    (
        Kind::Figure,
        "1|2|3|4|5|6|7|8|9|10|11|12|13|14|15|16|17|18|19|20|21|22|23|24|25|27|30|33|42|44|55|77|88|99|00|0|1|0|1|0|2|0|1|1|\
         2026-01-15|2026-06-14|2026-11-30|2027-03-20|18in|20in|22in|28in|29in|2in|4in|3in|3.5in|#1a2b3c|#f7f7f2|#22304f|8.25|7|0|1895|2295|2495|1795|3295|2995|2|4|2|4|3|2|50|30|14|",
    ),
    (Kind::Size, "S|M|L|XL|2XL|M|L|S|M|XL|L|M|L|XS|YM|YL|3XL|M|L|S|XL|M|"),
    (
        Kind::Data,
        "{\"title\":\"Tigers\",\"date\":\"2026-01-15\",\"designs\":[{\"blank\":\"club-tee-navy\",\"lines\":[{\
         \"placement\":\"across_chest\",\"text\":\"TIGERS\",\"height\":\"2in\",\"finish\":\"smooth\",\"colour\":\"white\",\
         \"style\":\"block\"},{\"placement\":\"upper_back\",\"text\":\"{name}\",\"height\":\"2in\",\"finish\":\"glitter\",\
         \"colour\":\"gold\",\"style\":\"block\"},{\"placement\":\"middle_back\",\"text\":\"{number}\",\"height\":\"4in\"}],\
         \"count_by\":\"roster\",\"sizes\":[{\"size\":\"M\",\"count\":12}],\"roster\":\"name, number, size\\nMiller, 7, M\\n\
         Garcia, 12, L\\nWilson, 3, XL\\n\"}],\"swaps\":[],\"aim\":null}|",
    ),
];
