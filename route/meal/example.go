package meal

// Example is a week of plain meals to begin a list from: invented, in portions
// of one adult as common practice has them (no source).
const Example = `days,7
meal,kind,times,item,amount
Porridge,,5,oats_rolled,60 g
Porridge,,5,milk_uht,200 ml
Bread and cheese,,5,bread_longlife,120 g
Bread and cheese,,5,cheese_hard,40 g
Lentil stew,,2,lentil_red,80 g
Lentil stew,,2,tin_tomato,200 g
Lentil stew,,2,onion,80 g
Pasta with tuna,,2,pasta_short,120 g
Pasta with tuna,,2,tin_tuna_oil,80 g
Rice and beans,,2,rice_white,90 g
Rice and beans,,2,tin_kidney,200 g
Cabbage and eggs,,1,cabbage_white,150 g
Cabbage and eggs,,1,egg_unwashed,2
Fruit,,7,apple,180 g
Noodle bowl,rough,,noodles_instant,85 g
Biscuits and cocoa,watch,,oat_cookies,40 g
Biscuits and cocoa,watch,,cocoa,10 g
Dry crackers,seasick,,crackers,60 g
Cold beans,emergency,,tin_bakedbeans,400 g
`
